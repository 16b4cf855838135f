// When a loading pattern counts as proven. No outside figures: the rules are the page's own
// (docs/mathematics/heating.md).
#include "run/pattern.h"
#include "support/approx.h"
#include "support/made_bag.h"

#include <doctest/doctest.h>

using namespace coldbag;
using namespace coldbag::test;

namespace {

constexpr std::int64_t day_us = 86400000000;

RunInput loaded_run() {
  RunInput input;
  input.site.emplace();
  Pattern pattern;
  pattern.name = "two layers";
  pattern.vessel = stated<std::string>("autoclave");
  pattern.bag = stated<std::string>("brick");
  pattern.count = stated(240);
  pattern.stacking = stated<std::string>("crosswise");
  input.site->patterns.push_back(pattern);
  input.run_file.emplace();
  input.run_file->pattern = stated<std::string>("two layers");
  input.vessel.emplace();
  input.vessel->name = "autoclave";
  input.bags.push_back(tried_bag());
  input.load.emplace();
  input.load->lines.emplace_back();
  input.load->lines.back().bag = "brick";
  input.load->lines.back().count = 240;
  input.heating = std::make_shared<const HeatingTables>(heating_tables());
  input.clock.start_wall = WallTime{20100 * day_us};
  input.learned.emplace();
  input.learned->patterns.push_back(
      {"two layers", "autoclave", "brick", "crosswise", 2.3, 240, 0.60, 0.64, 3, WallTime{20000 * day_us}});
  return input;
}

std::string why_not(const RunInput& input) {
  const auto use = pattern_use(input);
  REQUIRE(use);
  CHECK(use->is_proven == !use->why_not);
  return use->why_not ? use->why_not->key : "";
}

} // namespace

TEST_CASE("a pattern that three runs of the same load showed within a year is proven") {
  const auto use = pattern_use(loaded_run());
  REQUIRE(use);
  CHECK(use->is_proven);
  CHECK(use->runs == 3);
  CHECK(use->last == WallTime{20000 * day_us});
}

TEST_CASE("a run that names no pattern uses none") {
  RunInput input = loaded_run();
  input.run_file->pattern = {};
  CHECK_FALSE(pattern_use(input));
}

TEST_CASE("any change of vessel, kind, count, mass, moisture or stacking takes the proof away") {
  RunInput input = loaded_run();
  input.vessel->name = "room";
  CHECK(why_not(input) == "pattern_other_vessel");
  input = loaded_run();
  input.load->lines.front().count = 239;
  CHECK(why_not(input) == "pattern_other_count");
  input = loaded_run();
  input.load->lines.front().mass_kg = 2.4;
  CHECK(why_not(input) == "pattern_changed");
  input = loaded_run();
  input.load->lines.front().moisture_wb = 0.65;
  CHECK(why_not(input) == "pattern_other_moisture");
  input = loaded_run();
  input.site->patterns.front().stacking = stated<std::string>("loose");
  CHECK(why_not(input) == "pattern_changed");
  input = loaded_run();
  input.load->lines.front().bag = "sleeve";
  Bag sleeve = tried_bag();
  sleeve.name = "sleeve";
  input.bags = {sleeve};
  CHECK(why_not(input) == "pattern_other_bag");
  input = loaded_run();
  input.load->lines.push_back(input.load->lines.front());
  input.load->lines.front().count = input.load->lines.back().count = 120;
  input.load->lines.back().mass_kg = 2.5;
  CHECK(why_not(input) == "pattern_mixed");
}

TEST_CASE("two runs, or three more than a year ago, prove no pattern") {
  RunInput input = loaded_run();
  input.learned->patterns.front().runs = 2;
  CHECK(why_not(input) == "pattern_few_runs");
  input = loaded_run();
  input.clock.start_wall = WallTime{20366 * day_us};
  CHECK(why_not(input) == "pattern_long_ago");
  input.clock.start_wall = WallTime{20365 * day_us};
  CHECK(why_not(input).empty());
  input.clock.start_wall.reset();
  CHECK(why_not(input) == "pattern_no_date");
  input = loaded_run();
  input.learned.reset();
  CHECK(why_not(input) == "pattern_not_shown");
}
