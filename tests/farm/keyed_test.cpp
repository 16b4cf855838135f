#include "farm/keyed.h"

#include "farm/nearest.h"
#include "farm/site.h"
#include "farm/toml_scan.h"

#include <doctest/doctest.h>

#include <array>
#include <string>

using namespace coldbag;

namespace {

std::string refusal(const std::string& toml) {
  try {
    (void)read_site("f", toml);
  } catch (const UserError& error) {
    return error.what();
  }
  return "";
}

std::string repeated(const std::string& part, int times) {
  std::string all;
  for (int i = 0; i < times; ++i)
    all += part;
  return all;
}

} // namespace

TEST_CASE("nesting beyond any use is refused and does not exhaust the stack") {
  CHECK(refusal("a = " + repeated("[", 500000)).find("deep") != std::string::npos);
  CHECK(refusal("a = " + repeated("{a=", 500000)).find("deep") != std::string::npos);
  CHECK(refusal("[" + repeated("a.", 500000) + "a]").find("parts") != std::string::npos);
  CHECK(refusal(repeated("\"a\" . ", 500000) + "a = 1").find("parts") != std::string::npos);
  CHECK(refusal(repeated("[[", 500000)).find("deep") != std::string::npos);
}

TEST_CASE("brackets and dots inside text and comments are no nesting") {
  CHECK(refusal("[site]\nname = \"[[[[[[[[[[[[ a.b.c.d.e.f.g.h.i.j\" # [[[[[[[[[[[[ . . . . . . . . . .\n")
            .empty());
  CHECK(refusal("[site]\nname = '''\n[[[[[[[[[[[[ \n a.b.c.d.e.f.g.h.i.j'''\n").empty());
}

TEST_CASE("a file that is larger than any site is refused by its size") {
  CHECK(refusal("#" + std::string(std::size_t{5} << 20, 'x')).find("4 MiB") != std::string::npos);
}

TEST_CASE("a large file with many faults says each of them") {
  std::string toml = "[site]\n";
  for (int i = 0; i < 2000; ++i)
    toml += "[bags.b" + std::to_string(i) + "]\nmass = 5\n";
  try {
    (void)read_site("f", toml);
    FAIL("not refused");
  } catch (const UserError& error) {
    CHECK(error.complaints().size() == 2000);
  }
}

TEST_CASE("every unquoted value is named at once, with the line as it should be") {
  const auto slips = toml_slips(
      "f", "mass = 5 lb\nkind = vented # or not\nok = \"5 lb\"\nn = 5\nt = 2026-03-08 14:05:00\n"
           "when = 2026-03-08T14:05:00Z\nmoisture = 62 %\nrating = 15 psi gauge\nf = 1e5\nh = 0xFF\n");
  REQUIRE(slips.size() == 4);
  CHECK(slips[0].remedy == "write mass = \"5 lb\"");
  CHECK(slips[1].remedy == "write kind = \"vented\"");
  CHECK(slips[2].remedy == "write moisture = \"62 %\"");
  CHECK(slips[3].place.line == 8);
}

TEST_CASE("a line of a long text is no slip") {
  CHECK(toml_slips("f", "notes = \"\"\"\nmass = 5 lb\n\"\"\"\n").empty());
  CHECK(toml_slips("f", "# mass = 5 lb\n").empty());
}

TEST_CASE("the nearest word is found, and none where none is near") {
  const std::array<std::string, 3> words{"moisture", "mass", "film"};
  CHECK(edit_distance("kitten", "sitting") == 3); // textbook example, from memory
  CHECK(edit_distance("", "abc") == 3);
  CHECK(nearest_word("moistrue", words) == "moisture");
  CHECK(nearest_word("flim", words) == "film");
  CHECK(nearest_word("zzzz", words).empty());
  CHECK(list_words(words) == "\"moisture\", \"mass\" or \"film\"");
  CHECK(list_names(words, false) == "moisture, mass, film");
  CHECK(list_names(words, true) == "\"moisture\", \"mass\", \"film\"");
}

TEST_CASE("a key that was never asked for is a fault, one that was is none") {
  KeyedDocument document("f", "a = \"x\"\nb = \"y\"\n");
  KeyedTable root = document.root();
  CHECK(root.text("a").value == "x");
  root.finish();
  CHECK_THROWS_AS(document.throw_complaints(), UserError);
  (void)root.text("b");
}
