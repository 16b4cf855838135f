// Outcomes as they are stated of runs: what is counted, of how many, and what is said for and against heat.
#include "records/outcomes.h"

#include "records/made_charted_run.h"
#include "support/approx.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

using namespace coldbag;
using namespace coldbag::test;

namespace {

const TrendFigures& figures() {
  static const TrendFigures built_in = read_trend_figures(TableFiles::built_in());
  return built_in;
}

/// A history of so many runs, each with its number; statements follow them.
class Made {
 public:
  explicit Made(std::size_t runs) {
    for (std::size_t i = 0; i < runs; ++i) {
      runs_.push_back(made_charted_run(i));
      KeptRun run;
      run.number = i;
      history_.runs.push_back(run);
    }
  }
  std::uint64_t state(EntryKind kind, std::vector<std::uint64_t> about, FieldTexts fields) {
    KeptStatement statement;
    statement.number = history_.runs.size() + history_.statements.size();
    statement.kind = kind;
    statement.about = std::move(about);
    statement.statement.fields = std::move(fields);
    history_.statements.push_back(statement);
    return statement.number;
  }
  std::uint64_t inoculate(std::uint64_t run, int bags, const std::string& spawn,
                          const std::string& lot = "L") {
    return state(EntryKind::inoculation, {run},
                 {{"bags", std::to_string(bags)}, {"inoculation_lot", lot}, {"spawn_lot", spawn}});
  }
  std::uint64_t look(std::uint64_t run, int day, int looked_at, int bad, FieldTexts more = {}) {
    more["day"] = std::to_string(day);
    more["looked_at"] = std::to_string(looked_at);
    more["bad"] = std::to_string(bad);
    return state(EntryKind::outcome, {run}, more);
  }
  [[nodiscard]] Outcomes outcomes() const { return outcomes_of(history_, runs_, figures()); }
  ChartedRun& run(std::size_t i) { return runs_[i]; }

 private:
  std::vector<ChartedRun> runs_;
  History history_;
};

bool has(const std::vector<Evidence>& all, Evidence::Kind kind) {
  return std::ranges::any_of(all, [&](const Evidence& each) { return each.kind == kind; });
}

/// Forty runs of 60 bags, whose odds of a bad bag are `times` for each tenth of the F.
Made made_by_heat(double times, std::uint64_t seed) {
  Made made(40);
  Scatter scatter(seed);
  for (std::size_t i = 0; i < 40; ++i) {
    const double decades = 0.6 + 0.4 * scatter.next();
    made.run(i).margin_decades = decades;
    made.run(i).core_lag_minutes = 60 + 8 * scatter.next();
    const double odds = 0.06 * std::pow(times, 0.6 - decades);
    const double bad = 60 * odds / (1 + odds);
    made.inoculate(i, 60, "S" + std::to_string(i % 4));
    made.look(i, 14, 60, static_cast<int>(std::lround(bad)));
  }
  return made;
}

} // namespace

TEST_SUITE("outcomes") {
  TEST_CASE("new bad bags of all days are counted of the bags that were inoculated") {
    Made made(2);
    made.inoculate(0, 60, "S1");
    made.look(0, 7, 60, 1);
    made.look(0, 14, 59, 2);
    const Outcomes outcomes = made.outcomes();
    REQUIRE(outcomes.runs.size() == 1);
    CHECK(outcomes.runs[0].share == Share{3, 60});
    CHECK(outcomes.runs[0].last_day == 14);
    CHECK(outcomes.runs[0].bad_early == 1);
    CHECK(outcomes.runs_without == 1);
    CHECK(outcomes.by_day.at(7) == Share{1, 60});
    CHECK(outcomes.by_day.at(14) == Share{2, 59});
  }
  TEST_CASE("rows of one day share the bags that were looked at") {
    Made made(1);
    made.look(0, 14, 60, 2, {{"kind", "green mould"}, {"place", "filter"}});
    made.look(0, 14, 60, 1, {{"kind", "wet spot"}, {"place", "bottom"}});
    const Outcomes outcomes = made.outcomes();
    CHECK(outcomes.by_day.at(14) == Share{3, 60});
    CHECK(outcomes.share == Share{3, 60});
    CHECK(outcomes.runs[0].is_of_looked_at);
    CHECK(outcomes.by_kind.at("green mould") == Share{2, 60});
    CHECK(outcomes.by_place.at("bottom") == Share{1, 60});
  }
  TEST_CASE("probe bags and burst bags are out of the count, by name, each once") {
    Made made(1);
    made.run(0).burst_bags = 1;
    made.run(0).burst_probes = {"core_2"};
    made.inoculate(0, 63, "S1");
    made.look(0, 7, 60, 0, {{"left_out", "core_1, B17"}});
    made.look(0, 14, 60, 2, {{"left_out", "core_1"}});
    const Outcomes outcomes = made.outcomes();
    CHECK(outcomes.runs[0].left_out == std::vector<std::string>{"B17", "core_1", "core_2"});
    CHECK(outcomes.share == Share{2, 60});
  }
  TEST_CASE("lots of one run are counted apart, with their own spawn") {
    Made made(1);
    made.inoculate(0, 30, "S1", "A");
    made.inoculate(0, 40, "S2", "B");
    made.look(0, 14, 30, 1, {{"inoculation_lot", "A"}});
    made.look(0, 14, 40, 5, {{"inoculation_lot", "B"}});
    const Outcomes outcomes = made.outcomes();
    CHECK(outcomes.share == Share{6, 70});
    CHECK(outcomes.other.spawn_lot.at("S1") == Share{1, 30});
    CHECK(outcomes.other.spawn_lot.at("S2") == Share{5, 40});
    CHECK(outcomes.by_day.at(14) == Share{6, 70});
  }
  TEST_CASE("what contradicts itself is not counted, and why is said") {
    Made made(2);
    made.look(0, 14, 5, 9);
    made.look(1, 7, 30, 1, {{"inoculation_lot", "A"}});
    made.look(1, 14, 60, 1);
    const Outcomes outcomes = made.outcomes();
    CHECK(outcomes.runs[0].fault == "outcome_fault_more_bad");
    CHECK(outcomes.runs[1].fault == "outcome_fault_lots");
    CHECK(outcomes.followed == 0);
    CHECK(outcomes.share == Share{0, 0});
  }
  TEST_CASE("an amendment puts an outcome right") {
    Made made(1);
    const std::uint64_t number = made.look(0, 14, 60, 30);
    made.state(EntryKind::amendment, {number}, {{"bad", "3"}, {"reason", "a slip"}});
    CHECK(made.outcomes().share == Share{3, 60});
  }
  TEST_CASE("an outcome about an inoculation is about its run; one about two runs is nobody's") {
    Made made(2);
    const std::uint64_t inoculation = made.inoculate(1, 60, "S1");
    made.look(inoculation, 14, 60, 4);
    made.state(EntryKind::outcome, {0, 1}, {{"day", "14"}, {"looked_at", "120"}, {"bad", "9"}});
    const Outcomes outcomes = made.outcomes();
    REQUIRE(outcomes.runs.size() == 1);
    CHECK(outcomes.runs[0].run.number == 1);
    CHECK(outcomes.share == Share{4, 60});
  }
}

TEST_SUITE("bad bags and heat") {
  TEST_CASE("a made dependence is found again") {
    const Outcomes outcomes = made_by_heat(8, 3).outcomes();
    REQUIRE(outcomes.links.size() == 1);
    const HeatLink& link = outcomes.links[0];
    REQUIRE(link.less_heat);
    CHECK(link.by == HeatBy::F);
    CHECK(link.less_heat->interval.lower < 8);
    CHECK(link.less_heat->interval.upper > 8);
    CHECK(link.less_heat->interval.lower > 1);
    CHECK(link.dispersion == 1);
    REQUIRE(link.more_lag);
    CHECK(link.more_lag->interval.lower < 1);
    CHECK(link.more_lag->interval.upper > 1);
    CHECK(has(link.speaks_for, Evidence::Kind::less_heat_more_bad));
    CHECK_FALSE(has(link.speaks_against, Evidence::Kind::spawn_lot));
  }
  TEST_CASE("where heat makes no difference none is claimed") {
    const HeatLink link = made_by_heat(1, 3).outcomes().links[0];
    REQUIRE(link.less_heat);
    CHECK(has(link.speaks_against, Evidence::Kind::no_link));
    CHECK(link.speaks_for.empty());
  }
  TEST_CASE("bad bags that gather in one spawn lot speak against heat") {
    Made made(24);
    for (std::size_t i = 0; i < 24; ++i) {
      made.run(i).margin_decades = 0.5 + 0.02 * static_cast<double>(i % 7);
      const bool is_of_s7 = i % 6 == 2;
      made.inoculate(i, 60, is_of_s7 ? "S7" : "S1");
      made.look(i, 14, 60, is_of_s7 ? 8 : static_cast<int>(i % 2), {{"place", "inoculation"}});
    }
    const HeatLink link = made.outcomes().links[0];
    const auto found = std::ranges::find(link.speaks_against, Evidence::Kind::spawn_lot, &Evidence::kind);
    REQUIRE(found != link.speaks_against.end());
    CHECK(found->name == "S7");
    CHECK(found->share == Share{32, 240});
    CHECK(found->of_bad == link.share.bad);
    CHECK_FALSE(found->goes_with_heat);
    CHECK(has(link.speaks_against, Evidence::Kind::began_at_inoculation));
    CHECK(link.dispersion > 1);
  }
  TEST_CASE("a lot that was always heated less cannot be told from heat") {
    Made made(24);
    for (std::size_t i = 0; i < 24; ++i) {
      made.run(i).margin_decades = i < 4 ? 0.2 : 0.6 + 0.01 * static_cast<double>(i);
      made.inoculate(i, 60, i < 4 ? "S7" : "S1");
      made.look(i, 5, 60, i < 4 ? 40 : static_cast<int>(i % 3));
    }
    made.run(0).verdict = made.run(1).verdict = Verdict::fail;
    const HeatLink link = made.outcomes().links[0];
    const auto found = std::ranges::find(link.speaks_against, Evidence::Kind::spawn_lot, &Evidence::kind);
    REQUIRE(found != link.speaks_against.end());
    CHECK(found->goes_with_heat);
    CHECK(has(link.speaks_for, Evidence::Kind::not_passed));
    CHECK(has(link.speaks_for, Evidence::Kind::early_whole_load));
  }
  TEST_CASE("odds are withheld where runs or bad bags are few, heat is one, or it parts them entirely") {
    const auto why_not = [](std::size_t runs, const auto& bad, const auto& decades) {
      Made made(runs);
      for (std::size_t i = 0; i < runs; ++i) {
        made.run(i).margin_decades = decades(i);
        made.look(i, 14, 10, bad(i));
      }
      return made.outcomes().links[0].why_not;
    };
    const auto two = [](std::size_t) { return 2; };
    const auto rising = [](std::size_t i) { return 0.1 * static_cast<double>(i); };
    CHECK(why_not(9, two, rising) == NoLink::few_runs);
    CHECK(why_not(
              12, [](std::size_t i) { return i < 9 ? 1 : 0; }, rising) == NoLink::few_bad);
    CHECK(why_not(12, two, [](std::size_t) { return 0.7; }) == NoLink::no_spread);
    CHECK(why_not(
              12, [](std::size_t i) { return i < 6 ? 10 : 0; }, rising) == NoLink::separated);
    CHECK_FALSE(why_not(12, two, rising));
  }
  TEST_CASE("where a treatment asks for a hold, hold is its heat") {
    Made made(12);
    for (std::size_t i = 0; i < 12; ++i) {
      made.run(i).hold_minutes = 600 + 30 * static_cast<double>(i);
      made.run(i).core_lag_minutes = 60 + 3 * static_cast<double>(i);
      made.look(i, 14, 40, static_cast<int>(12 - i));
    }
    const HeatLink link = made.outcomes().links[0];
    CHECK(link.by == HeatBy::hold);
    REQUIRE(link.less_heat);
    CHECK(link.less_heat->times > 1);
    CHECK(link.no_lag == "outcome_no_lag_alike");
  }
}

TEST_SUITE("shares of bags that are alike") {
  TEST_CASE("scatter between runs makes bags count for fewer") {
    CHECK(within(scattered_lower(32, 240, 1), exact_interval(32, 240).lower, 1e-12));
    CHECK(within(scattered_lower(32, 240, 4), exact_interval(8, 60).lower, 1e-12));
    CHECK(scattered_lower(32, 240, 30) < scattered_lower(32, 240, 4));
    CHECK(scattered_lower(0, 240, 2) == 0);
  }
}

TEST_SUITE("strips of spores") {
  const FieldTexts strips{{"organism", "o"}, {"population", "1000000"}, {"strips", "3"},
                          {"grown", "0"},    {"control_strips", "1"},   {"control_grown", "1"}};
  const auto says = [](const FieldTexts& fields, double decades, double decades_lower) {
    OrganismResult organism;
    organism.key = organism.name = "o";
    organism.decades = decades;
    organism.decades_lower = decades_lower;
    return strip_result(fields, &organism, figures());
  };
  TEST_CASE("what is left goes by population and decades") {
    const StripResult result = says(strips, 6, 5);
    CHECK(within(*result.left_on_each, 1, 1e-9));
    CHECK(within(*result.most_left_on_each, 10, 1e-8));
    CHECK(within(*result.expected_grown, 3 * (1 - std::exp(-1)), 1e-9));
    CHECK(result.says == StripResult::Says::clean);
  }
  TEST_CASE("without a control that grew they say nothing") {
    FieldTexts fields = strips;
    fields["grown"] = "3";
    fields["control_grown"] = "0";
    CHECK(says(fields, 12, 12).says == StripResult::Says::nothing);
    fields["control_strips"] = "2";
    fields["control_grown"] = "1";
    CHECK(says(fields, 12, 12).says == StripResult::Says::little);
  }
  TEST_CASE("more growth than the lower bound lets expect is told from less") {
    FieldTexts fields = strips;
    fields["grown"] = "1";
    CHECK(says(fields, 12, 10).says == StripResult::Says::beyond);
    CHECK(says(fields, 8, 6).says == StripResult::Says::as_foretold);
    CHECK(strip_result(fields, nullptr, figures()).says == StripResult::Says::grew_unknown);
    fields.erase("population");
    CHECK(says(fields, 12, 10).says == StripResult::Says::grew_unknown);
  }
}
