#include "kinetics/running_mean.h"

#include "support/approx.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <random>
#include <vector>

using namespace coldbag;
using coldbag::test::within;

namespace {

using Reading = RunningMean::Reading;

std::vector<Reading> smoothed(const std::vector<Reading>& trace, double window_s) {
  RunningMean mean(window_s);
  std::vector<Reading> out;
  const auto give = [&out](const Reading& reading) { out.push_back(reading); };
  for (const Reading& reading : trace)
    mean.take(reading, give);
  mean.finish(give);
  return out;
}

// An hour up to the plateau, two hours of it, an hour down; setpoint 118.
std::vector<Reading> trial(double above_K, double noise_K, double interval_s, unsigned seed) {
  std::mt19937_64 random(seed);
  std::normal_distribution<double> white(0, noise_K);
  const double plateau_degC = 118 + above_K;
  std::vector<Reading> trace;
  for (double time_s = 0; time_s <= 14400; time_s += interval_s) {
    double t_degC = plateau_degC;
    if (time_s < 3600) t_degC = 20 + (plateau_degC - 20) * time_s / 3600;
    if (time_s > 10800) t_degC = plateau_degC - (plateau_degC - 20) * (time_s - 10800) / 3600;
    trace.push_back({time_s, t_degC + white(random), trace.empty() ? Join::broken : Join::linear});
  }
  return trace;
}

double longest_minutes(const std::vector<Reading>& trace) {
  HoldMeter hold(118);
  for (const Reading& reading : trace)
    hold.take(reading.time_s, reading.degC, reading.join_before);
  return hold.longest().length_s() / 60;
}

} // namespace

TEST_CASE("the window is five minutes, or ten readings up to ten minutes") {
  CHECK(mean_window_s(1) == 300);
  CHECK(mean_window_s(30) == 300);
  CHECK(mean_window_s(45) == 450);
  CHECK(mean_window_s(60) == 600);
  CHECK(mean_window_s(300) == 600);
}

TEST_CASE("two hours 0.3 K above the setpoint with 0.3 K of noise stay a hold") {
  // Readings every 10 s: the mean keeps 115 of the 120 min or a little more (the rest goes to the ramps at
  // both ends, and to a rare dip), the raw readings about 5 in one piece. Readings every minute make a mean
  // of fewer, and keep less.
  const unsigned seeds = 40;
  double mean_10_s = 0;
  double raw_10_s = 0;
  double mean_60_s = 0;
  for (unsigned seed = 1; seed <= seeds; ++seed) {
    const std::vector<Reading> trace = trial(0.3, 0.3, 10, seed);
    const double kept = longest_minutes(smoothed(trace, mean_window_s(10)));
    CAPTURE(seed);
    CHECK(within(kept, 115, 4));
    mean_10_s += kept / seeds;
    raw_10_s += longest_minutes(trace) / seeds;
    mean_60_s += longest_minutes(smoothed(trial(0.3, 0.3, 60, seed), mean_window_s(60))) / seeds;
  }
  CAPTURE(mean_10_s);
  CAPTURE(raw_10_s);
  CHECK(within(mean_10_s, 117.5, 1.5));
  CHECK(within(raw_10_s, 5, 1));
  CHECK(within(mean_60_s, 112, 4));
}

TEST_CASE("two hours 0.3 K below the setpoint with 0.3 K of noise are no hold") {
  for (const double interval_s : {10.0, 60.0})
    for (unsigned seed = 1; seed <= 40; ++seed) {
      CAPTURE(interval_s);
      CAPTURE(seed);
      CHECK(longest_minutes(smoothed(trial(-0.3, 0.3, interval_s, seed), mean_window_s(interval_s))) == 0);
    }
}

TEST_CASE("a straight trace comes through unchanged, ends and all") {
  std::vector<Reading> ramp;
  for (int i = 0; i <= 100; ++i)
    ramp.push_back({i * 10.0, 20 + 0.25 * i, i == 0 ? Join::broken : Join::linear});
  const std::vector<Reading> out = smoothed(ramp, 300);
  REQUIRE(out.size() == ramp.size());
  for (std::size_t i = 0; i < out.size(); ++i) {
    CHECK(out[i].time_s == ramp[i].time_s);
    CHECK(within(out[i].degC, ramp[i].degC, 1e-9));
    CHECK(out[i].join_before == ramp[i].join_before);
  }
}

TEST_CASE("the window does not reach across a gap") {
  std::vector<Reading> trace;
  for (int i = 0; i < 100; ++i)
    trace.push_back({i * 10.0, 90, i == 0 ? Join::broken : Join::linear});
  for (int i = 0; i < 100; ++i)
    trace.push_back({1100 + i * 10.0, 110, i == 0 ? Join::gap : Join::linear});
  const std::vector<Reading> out = smoothed(trace, 300);
  REQUIRE(out.size() == trace.size());
  for (std::size_t i = 0; i < out.size(); ++i)
    CHECK(out[i].degC == trace[i].degC);
  CHECK(out[100].join_before == Join::gap);
}

TEST_CASE("where fewer than three readings fall in the window the raw reading stands") {
  const std::vector<Reading> sparse = {
      {0, 100, Join::broken}, {400, 101, Join::linear}, {500, 99, Join::linear}, {1000, 104, Join::linear}};
  const std::vector<Reading> out = smoothed(sparse, 600);
  REQUIRE(out.size() == sparse.size());
  for (std::size_t i = 0; i < out.size(); ++i)
    CHECK(out[i].degC == sparse[i].degC);
}

TEST_CASE("long traces are smoothed as a plain mean over each window would") {
  std::mt19937_64 random(9);
  std::normal_distribution<double> white(110, 3);
  std::vector<Reading> trace;
  for (int i = 0; i < 6000; ++i) // well beyond what is held at a time
    trace.push_back({i * 1.0, white(random), i == 0 ? Join::broken : Join::linear});
  const std::vector<Reading> out = smoothed(trace, 300);
  REQUIRE(out.size() == trace.size());
  for (std::size_t at = 0; at < trace.size(); at += 61) {
    const std::size_t half = std::min({std::size_t{150}, at, trace.size() - 1 - at});
    double sum = 0;
    for (std::size_t i = at - half; i <= at + half; ++i)
      sum += trace[i].degC;
    const double plain = half == 0 ? trace[at].degC : sum / static_cast<double>(2 * half + 1);
    CAPTURE(at);
    CHECK(within(out[at].degC, plain, 1e-9));
  }
}
