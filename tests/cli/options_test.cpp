// The arguments of a command: options, operands, and what is refused.
#include "cli/options.h"

#include <boost/program_options.hpp>

#include <doctest/doctest.h>

using namespace coldbag;

namespace {

Given parsed(const std::vector<std::string>& arguments) {
  namespace po = boost::program_options;
  po::options_description described("Options");
  auto add = described.add_options();
  add("altitude", po::value<std::string>(), "one text");
  add("in-bag", po::value<std::vector<std::string>>()->composing(), "texts");
  add("vented", "a flag");
  return parse_options("check", described, {{"site", 1}, {"probe", 1}}, arguments);
}

} // namespace

TEST_CASE("options and operands are had by name, in any order") {
  const Given given =
      parsed({"--in-bag", "a, b", "farm.toml", "--vented", "core", "--in-bag", "c", "--altitude=5 m"});
  CHECK(given.text("site") == "farm.toml");
  CHECK(given.text("probe") == "core");
  CHECK(given.text("altitude") == "5 m");
  CHECK(given.has("vented"));
  CHECK(split_names(given.texts("in-bag")) == std::vector<std::string>{"a", "b", "c"});
  CHECK_FALSE(parsed({}).has("vented"));
  CHECK(parsed({}).text("altitude").empty());
}

TEST_CASE("what no option describes is refused, and none may be shortened") {
  CHECK_THROWS_AS((void)parsed({"--nothing"}), UserError);
  CHECK_THROWS_AS((void)parsed({"--alt", "5 m"}), UserError);
  CHECK_THROWS_AS((void)parsed({"--altitude"}), UserError);
  CHECK_THROWS_AS((void)parsed({"--altitude", "5 m", "--altitude", "6 m"}), UserError);
  CHECK_THROWS_AS((void)parsed({"farm.toml", "core", "more"}), UserError);
}

TEST_CASE("a height is one above the sea, with its unit") {
  CHECK(altitude_option("1150 m") == 1150);
  CHECK(altitude_option("-500 m") == -500);
  for (const char* wrong : {"1150", "9001 m", "-501 m", "high", "3 kg", ""})
    CHECK_THROWS_AS((void)altitude_option(wrong), UserError);
}
