#include "run/curves.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

using namespace coldbag;

namespace {

constexpr int day_s = 24 * 3600;

const std::vector<ProbeMeter::FMark> no_marks;

/// A day at a reading a second, with a spike of one second up and one down.
ThinTrace long_day() {
  ThinTrace thin;
  for (int at = 0; at < day_s; ++at) {
    const double swing = 90 + 5 * std::sin(at * 1e-3);
    thin.take(at, at == 40000 ? 131.25 : (at == 60001 ? 11.5 : swing), at != 40000);
  }
  return thin;
}

} // namespace

TEST_CASE("a day at a reading a second is thinned to a chart's width, and no extreme is lost") {
  const ThinTrace thin = long_day();
  ProbeResult result;
  result.name = "core";
  const Curves curves = curves_of({{&result, &thin, &no_marks, 0, 0}});
  REQUIRE(curves.probes.size() == 1);
  const ProbeCurve& curve = curves.probes.front();
  CHECK(curve.at_s.size() <= most_curve_points);
  CHECK(curve.at_s.size() > most_curve_points / 4);
  CHECK(*std::ranges::max_element(curve.highest_degC) == 131.25);
  CHECK(*std::ranges::min_element(curve.lowest_degC) == 11.5);
  CHECK(std::ranges::count_if(curve.credited_share, [](double share) { return share < 1; }) == 1);
  CHECK(std::ranges::is_sorted(curve.at_s));
}

TEST_CASE("F of a curve grows to what the report says of the probe") {
  ThinTrace thin;
  for (int minute = 0; minute <= 60; ++minute)
    thin.take(60.0 * minute, 121.1, true);
  const std::vector<ProbeMeter::FMark> marks{{0, 0, 0}, {1800, 30, 24}, {3600, 60, 48}};
  ProbeResult result;
  result.F_minutes = 60;
  result.F_minutes_lower = 40; // noise taken off by the report
  const Curves curves = curves_of({{&result, &thin, &marks, 60, 48}});
  const ProbeCurve& curve = curves.probes.front();
  CHECK(curve.F_minutes.back() == 60);
  CHECK(curve.F_minutes_lower.back() == 40);
  CHECK(std::ranges::is_sorted(curve.F_minutes));
  CHECK(std::ranges::is_sorted(curve.F_minutes_lower));
  const auto half = std::ranges::upper_bound(curve.at_s, 1800.0) - curve.at_s.begin();
  CHECK(curve.F_minutes[static_cast<std::size_t>(half)] == 30);
  CHECK(curve.F_minutes_lower[static_cast<std::size_t>(half)] == doctest::Approx(20));
}

TEST_CASE("a probe that gave no reading has a curve without points") {
  const ThinTrace nothing;
  ProbeResult result;
  CHECK(curves_of({{&result, &nothing, &no_marks, 0, 0}}).probes.front().at_s.empty());
  CHECK(curves_of({}).width_s == 0);
}

TEST_CASE(
    "the slowest bag's curve runs from its first moment to its last, the lower one held where it ends") {
  BagHistory likely;
  BagHistory lower;
  for (int i = 0; i <= 1000; ++i)
    likely.moments.push_back({.time_s = 60.0 * i, .core_degC = 20 + 0.05 * i});
  for (int i = 0; i <= 500; ++i)
    lower.moments.push_back({.time_s = 60.0 * i, .core_degC = 20 + 0.04 * i});
  const SlowestCurve curve = slowest_curve("brick", likely, lower);
  CHECK(curve.at_s.size() == most_curve_points);
  CHECK(curve.at_s.front() == 0);
  CHECK(curve.at_s.back() == 60000);
  CHECK(curve.core_degC.back() == doctest::Approx(70));
  CHECK(curve.core_lower_degC.back() == doctest::Approx(40));
  CHECK(curve.core_degC[256] == doctest::Approx(20 + 0.05 * curve.at_s[256] / 60));
}
