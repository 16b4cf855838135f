#include "errors/user_error.h"
#include "substrate/material.h"

#include <doctest/doctest.h>

using namespace coldbag;

namespace {
std::string known(std::string_view text) {
  static const std::vector<Material> materials = read_materials(TableFiles::built_in());
  const KnownMaterial found = material_of(materials, text);
  return (found.is_assumed ? "assumed " : "") + found.material->key;
}
} // namespace

TEST_CASE("a substrate is known by any of its words") {
  CHECK(known("sawdust") == "sawdust");
  CHECK(known("Oak sawdust, 10 % bran") == "sawdust");
  CHECK(known("chopped wheat straw") == "straw");
  CHECK(known("Wood-chips") == "wood-chips");
  CHECK(known("rye") == "grain");
}

TEST_CASE("the word that stands first counts") {
  CHECK(known("straw with sawdust") == "straw");
  CHECK(known("sawdust with straw") == "sawdust");
}

TEST_CASE("words inside other words are not meant") {
  CHECK(known("strawberry mulch") == "assumed sawdust");
  CHECK(known("") == "assumed sawdust");
}

TEST_CASE("a table without sawdust, or with a range turned round, is refused") {
  std::string csv(TableFiles::built_in().bytes("substrates.csv"));
  const std::size_t at = csv.find("\nsawdust,");
  CHECK_THROWS_AS(
      static_cast<void>(read_materials("t.csv", csv.substr(0, at) + csv.substr(csv.find('\n', at + 1)))),
      UserError);
  std::string turned = csv;
  const std::string range = ",0.29,0.8,";
  turned.replace(turned.find(range), range.size(), ",0.8,0.29,");
  CHECK_THROWS_AS(static_cast<void>(read_materials("t.csv", turned)), UserError);
}
