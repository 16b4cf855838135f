// What is said of bad bags: what speaks for heat and what against stand beside each other, in both languages.
#include "report/outcome_blocks.h"

#include "records/made_charted_run.h"
#include "report/heat_link_blocks.h"
#include "report/layout.h"
#include "report/screen.h"

#include <doctest/doctest.h>

#include <sstream>
#include <string>

using namespace coldbag;
using namespace coldbag::test;

namespace {

const Words& catalogue(const std::string& language) {
  static const Words english = Words::read(TableFiles::built_in(), "en");
  static const Words spanish = Words::read(TableFiles::built_in(), "es");
  return language == "es" ? spanish : english;
}

const TrendFigures& figures() {
  static const TrendFigures built_in = read_trend_figures(TableFiles::built_in());
  return built_in;
}

std::string flat(const Blocks& blocks) {
  std::istringstream words(screen_text(blocks));
  std::string out;
  for (std::string word; words >> word;)
    out += (out.empty() ? "" : " ") + word;
  return out;
}

std::string link_text(const HeatLink& link, const std::string& language = "en") {
  return flat(heat_link_blocks(link, figures(), catalogue(language)));
}

HeatLink made_link() {
  HeatLink link;
  link.treatment = link.treatment_name = "sterilize";
  link.runs = 24;
  link.share = {12, 1440};
  link.less_heat = OddsTimes{2.1, {1.3, 3.4}};
  link.no_lag = "outcome_no_lag_few";
  link.speaks_for = {{Evidence::Kind::less_heat_more_bad, "", link.share, 12, 1440, false, false}};
  link.speaks_against = {{Evidence::Kind::spawn_lot, "S7", {7, 288}, 12, 1440, false, false}};
  return link;
}

StripResult made_strip(StripResult::Says says, int grown) {
  StripResult strip;
  strip.run = "night-1";
  strip.organism_name = "an organism of ours";
  strip.verdict = Verdict::pass;
  strip.strips = 3;
  strip.grown = grown;
  strip.control_strips = strip.control_grown = 1;
  strip.says = says;
  return strip;
}

bool has(const std::string& text, const char* part) {
  return text.find(part) != std::string::npos;
}

} // namespace

TEST_SUITE("bad bags in words") {
  TEST_CASE("odds have their interval, and both sides stand beside each other") {
    const std::string text = link_text(made_link());
    CHECK(has(text,
              "Runs with less heat had more bad bags: odds x2.1 for a tenth of the F (95 %: 1.3 to 3.4)."));
    CHECK(has(text, "For heat as the cause: bad bags go with less heat, as said."));
    CHECK(has(text, "Against heat as the cause: 7 of 12 bad bags came from spawn lot S7, which had 20.0 % of "
                    "the bags."));
    CHECK(has(text, "no single cause"));
    CHECK(has(link_text(made_link(), "es"), "7 de 12 bolsas malas vinieron del lote de semilla S7"));
  }
  TEST_CASE("an interval that holds one claims no link, one below it turns the sentence round") {
    HeatLink link = made_link();
    link.less_heat = OddsTimes{1.4, {0.8, 2.6}};
    CHECK(has(link_text(link), "No link between heat and bad bags is shown: odds x1.4"));
    link.less_heat = OddsTimes{0.4, {0.2, 0.7}};
    CHECK(has(link_text(link), "Runs with more heat had more bad bags"));
    link.by = HeatBy::hold;
    CHECK(has(link_text(link), "for an hour less of hold"));
  }
  TEST_CASE("where nothing speaks for a side it is said") {
    HeatLink link = made_link();
    link.speaks_against.clear();
    CHECK(has(link_text(link), "Against heat as the cause: nothing in these figures."));
  }
  TEST_CASE("what cannot be told apart from heat is said with its lot") {
    HeatLink link = made_link();
    link.speaks_against.front().goes_with_heat = true;
    CHECK(has(link_text(link), "cannot tell the two apart"));
  }
  TEST_CASE("each reason to withhold the odds has its words, in both languages") {
    for (const NoLink why : {NoLink::few_runs, NoLink::few_bad, NoLink::no_spread, NoLink::separated})
      for (const char* language : {"en", "es"}) {
        HeatLink link = made_link();
        link.why_not = why;
        const std::string text = link_text(link, language);
        CHECK_FALSE(has(text, "x2.1"));
        CHECK(text.size() > 200);
      }
  }
  TEST_CASE("a share of all or none keeps its interval") {
    CHECK(percent_with_interval({0, 20}, catalogue("en")) == "0.0 (0.0 to 16.8)");
    CHECK(percent_with_interval({20, 20}, catalogue("en")) == "100 (83.2 to 100)");
    CHECK(screen_length(percent_with_interval({15, 60}, catalogue("en"))) < 20);
  }
  TEST_CASE("rows of the runs fit the screen in both languages") {
    Outcomes outcomes;
    RunOutcome run;
    run.run = made_charted_run(1);
    run.run.name = std::string(60, 'n');
    run.run.verdict = Verdict::unproven;
    run.run.margin_decades = -2.2;
    run.run.burst_bags = 2;
    run.share = {30, 60};
    run.last_day = 14;
    run.left_out = {"B17"};
    outcomes.runs = {run};
    outcomes.followed = 1;
    outcomes.share = run.share;
    outcomes.by_day[14] = run.share;
    outcomes.by_place["filter"] = run.share;
    outcomes.by_rack["R1"] = {4, 60};
    for (const char* language : {"en", "es"}) {
      const std::string text = screen_text(outcome_blocks(outcomes, figures(), catalogue(language)));
      std::istringstream lines(text);
      for (std::string line; std::getline(lines, line);)
        CHECK_MESSAGE(screen_length(line) <= columns_of_screen, line);
    }
    const std::string text = flat(outcome_blocks(outcomes, figures(), catalogue("en")));
    CHECK(has(text, "left out: B17; burst in the run: 2, left out by name: 1"));
    CHECK(has(text, "there is no share of them"));
  }
}

TEST_SUITE("strips in words") {
  TEST_CASE("clean strips lift nothing, grown ones after a PASS are a deviation") {
    const auto text = [](StripResult::Says says, int grown) {
      return flat(strip_blocks(made_strip(says, grown), catalogue("en")));
    };
    CHECK(has(text(StripResult::Says::clean, 0), "lifts no verdict"));
    CHECK(has(text(StripResult::Says::beyond, 2), "is a deviation"));
    CHECK(has(text(StripResult::Says::beyond, 2), "more than the coldest probed bag foretells"));
    CHECK_FALSE(has(text(StripResult::Says::clean, 0), "is a deviation"));
    CHECK(has(text(StripResult::Says::nothing, 2), "say nothing"));
    CHECK_FALSE(has(text(StripResult::Says::nothing, 2), "is a deviation"));
  }
  TEST_CASE("what was foretold stands beside it") {
    StripResult strip = made_strip(StripResult::Says::as_foretold, 1);
    strip.left_on_each = 0.002;
    strip.most_left_on_each = 12345;
    strip.expected_grown = 0.006;
    strip.most_expected_grown = 3;
    const std::string text = flat(strip_blocks(strip, catalogue("en")));
    CHECK(has(text, "<0.01 spores were left on each (at most 12,345)"));
    CHECK(has(text, "<0.01 strips were to grow (at most 3.00)"));
  }
}
