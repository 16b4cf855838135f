// Trends of made runs: a drift is told from one wild run, and from nothing at all.
#include "records/trend.h"

#include "records/made_charted_run.h"
#include "support/approx.h"

#include <doctest/doctest.h>

#include <cmath>

using namespace coldbag;
using namespace coldbag::test;

namespace {

const TrendFigures& figures() {
  static const TrendFigures built_in = read_trend_figures(TableFiles::built_in());
  return built_in;
}

std::vector<double> scattered(std::size_t count, double mean, double sd, std::uint64_t seed) {
  Scatter scatter(seed);
  std::vector<double> out(count);
  for (double& value : out)
    value = mean + sd * scatter.next();
  return out;
}

Trend lag_trend(const std::vector<double>& minutes) {
  return trend_of(TrendOf::core_lag, runs_of_lags(minutes), figures());
}

/// Three runs, of which the last has these.
std::vector<ChartedRun> three(const std::string& log, const char* readings) {
  std::vector<ChartedRun> runs = runs_of_lags({90, 91, 92});
  for (std::size_t i = 0; i < runs.size(); ++i) {
    runs[i].logs = {"log " + std::to_string(i)};
    runs[i].readings = {sha256("readings " + std::to_string(i))};
  }
  runs[2].logs = {log};
  runs[2].readings = {sha256(readings)};
  return runs;
}

} // namespace

TEST_SUITE("trends") {
  TEST_CASE("runs that scatter about one value tell nothing") {
    const Trend trend = lag_trend(scattered(60, 90, 4, 5));
    REQUIRE(trend.limits);
    CHECK(trend.limits_from == 20);
    CHECK_FALSE(trend.is_provisional);
    CHECK(trend.drifts.empty());
    CHECK(trend.outside.empty());
  }
  TEST_CASE("a lasting step is a drift, told from the run where it began") {
    std::vector<double> lags = scattered(60, 90, 4, 3);
    for (std::size_t i = 40; i < lags.size(); ++i)
      lags[i] += 10;
    const Trend trend = lag_trend(lags);
    REQUIRE(trend.drifts.size() == 1);
    const Drift& drift = trend.drifts.front();
    CHECK(drift.is_up);
    CHECK(drift.lasts);
    CHECK(drift.since == 40);
    CHECK(drift.seen > drift.since);
    CHECK(trend.outside.empty());
  }
  TEST_CASE("most steps are found, most of them where they are, and few where there is none") {
    int found = 0;
    int near = 0;
    int invented = 0;
    for (std::uint64_t seed = 100; seed < 200; ++seed) {
      std::vector<double> lags = scattered(60, 90, 4, seed);
      if (!lag_trend(lags).drifts.empty()) ++invented;
      for (std::size_t i = 40; i < lags.size(); ++i)
        lags[i] += 10;
      const Trend trend = lag_trend(lags);
      if (trend.drifts.empty() || !trend.drifts.back().is_up) continue;
      ++found;
      if (trend.drifts.back().since + 3 >= 40 && trend.drifts.back().since <= 43) ++near;
    }
    CHECK(found >= 95);
    CHECK(near >= 75);
    CHECK(invented <= 8); // by simulation with numpy 3 of 100
  }
  TEST_CASE("a slow fall is a drift downwards") {
    std::vector<double> lags = scattered(60, 90, 4, 4);
    for (std::size_t i = 30; i < lags.size(); ++i)
      lags[i] -= 0.8 * static_cast<double>(i - 29);
    const Trend trend = lag_trend(lags);
    REQUIRE(trend.drifts.size() == 1);
    CHECK_FALSE(trend.drifts.front().is_up);
    CHECK(trend.drifts.front().since >= 28);
    CHECK(trend.drifts.front().since <= 36);
  }
  TEST_CASE("one wild run stands alone, however wild; two beside each other are a drift") {
    std::vector<double> lags = scattered(60, 90, 4, 5);
    lags[40] = 400;
    Trend trend = lag_trend(lags);
    CHECK(trend.drifts.empty());
    CHECK(trend.outside == std::vector<std::size_t>{40});
    CHECK(trend.jumps.empty());
    lags[41] = 400;
    lags[42] = 400;
    trend = lag_trend(lags);
    CHECK(trend.drifts.size() == 1);
    CHECK(trend.outside.empty());
  }
  TEST_CASE("a drift that came to an end says from when to when") {
    std::vector<double> lags = scattered(80, 90, 4, 5);
    for (std::size_t i = 40; i < 55; ++i)
      lags[i] += 14;
    const Trend trend = lag_trend(lags);
    REQUIRE(trend.drifts.size() == 1);
    CHECK_FALSE(trend.drifts.front().lasts);
    CHECK(trend.drifts.front().until >= 54);
    CHECK(trend.drifts.front().until < 60);
  }
  TEST_CASE("a wild run among the first does not widen the limits") {
    std::vector<double> lags = scattered(40, 90, 4, 5);
    const double upper = lag_trend(lags).limits->upper;
    lags[5] = 500;
    const Trend trend = lag_trend(lags);
    CHECK(within(trend.limits->upper, upper, 3));
    CHECK(trend.limits_from == 19);
    CHECK(trend.outside == std::vector<std::size_t>{5});
  }
  TEST_CASE("few runs have provisional limits, very few none") {
    CHECK_FALSE(lag_trend(scattered(7, 90, 4, 5)).limits);
    const Trend trend = lag_trend(scattered(8, 90, 4, 5));
    REQUIRE(trend.limits);
    CHECK(trend.is_provisional);
    CHECK_FALSE(lag_trend(scattered(20, 90, 4, 5)).is_provisional);
  }
  TEST_CASE("runs without the figure are passed over") {
    std::vector<ChartedRun> runs = runs_of_lags(scattered(30, 90, 4, 5));
    runs[3].core_lag_minutes.reset();
    const Trend trend = trend_of(TrendOf::core_lag, runs, figures());
    CHECK(trend.values.size() == 29);
    CHECK(trend.runs[3] == 4);
    CHECK(trend_of(TrendOf::plateau, runs, figures()).values.empty());
  }
  TEST_CASE("scatter of no account makes no limits") {
    const Trend trend = lag_trend(std::vector<double>(30, 90.0));
    CHECK(trend.limits->sigma == 1);
    CHECK(trend.drifts.empty());
  }
  TEST_CASE("sigma of eight values is uncertain by a third, of twenty by a fifth") {
    // By simulation with numpy, 200,000 draws: 0.3371 and 0.2068.
    CHECK(within(sigma_doubt(8), 0.3371, 0.002));
    CHECK(within(sigma_doubt(20), 0.2068, 0.002));
  }
  TEST_CASE("limits out of few runs allow more than those that are known") {
    const EwmaRule known{0.3, 3, 0};
    const EwmaRule few = rule_of(figures(), 20);
    CHECK(few.sigmas > 3.5);
    CHECK(few.sigmas < 4);
    CHECK(ewma_half_width(few, 1, 50) > ewma_half_width(known, 1, 50));
    CHECK(within(rule_of(figures(), 100000).sigmas, 3, 0.01));
  }
  TEST_CASE("groups are vessel, kind of bag and treatment") {
    std::vector<ChartedRun> runs = runs_of_lags(scattered(30, 90, 4, 5));
    for (std::size_t i = 0; i < 10; ++i)
      runs[i].vessel = "room";
    runs[29].bag = "sleeve";
    const Trends trends = trends_of(runs, figures());
    REQUIRE(trends.groups.size() == 3);
    CHECK(trends.groups[0].vessel == "autoclave");
    CHECK(trends.groups[0].runs.size() == 19);
    CHECK(trends.groups[1].bag == "sleeve");
    CHECK(trends.groups[2].runs.size() == 10);
    CHECK(trends.groups[0].trends.size() == 1);
    runs[0].is_imported = true;
    CHECK(trends_of(runs, figures()).groups.size() == 4);
  }
}

TEST_SUITE("runs that are alike") {
  TEST_CASE("a run that is entered twice is named, and counts once") {
    const auto runs = three("log 0", "readings 0");
    const Trends trends = trends_of(runs, figures());
    REQUIRE(trends.alike.size() == 1);
    CHECK(trends.alike.front() == AlikeRuns{AlikeRuns::Kind::entered_twice, 1, 3, "run-1", "run-3"});
    CHECK(trends.groups.front().runs.size() == 2);
  }
  TEST_CASE("two loads of one log are named, and both count") {
    const Trends trends = trends_of(three("log 0", "readings 2"), figures());
    REQUIRE(trends.alike.size() == 1);
    CHECK(trends.alike.front().kind == AlikeRuns::Kind::same_log);
    CHECK(trends.groups.front().runs.size() == 3);
  }
  TEST_CASE("the same readings in another log are a suspicion, and both count") {
    const Trends trends = trends_of(three("log 2", "readings 1"), figures());
    REQUIRE(trends.alike.size() == 1);
    CHECK(trends.alike.front().kind == AlikeRuns::Kind::alike_in_readings);
    CHECK(trends.alike.front().number == 2);
    CHECK(trends.groups.front().runs.size() == 3);
  }
  TEST_CASE("runs of their own are not named") {
    CHECK(alike_runs(three("log 2", "readings 2")).empty());
  }
}
