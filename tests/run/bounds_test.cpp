// The lower bound against its closed form, against what it must not be, and against drawn probe errors.
#include "run/made_run.h"
#include "support/approx.h"

#include <doctest/doctest.h>

#include <random>

using namespace coldbag;
using namespace coldbag::test;

namespace {

RunInput without_cut_off(double u_K) {
  RunInput input = made_run("sterilize", stated_options(u_K));
  input.treatment->counts_from_degC.reset();
  return input;
}

RunInput with_cut_off(double cut_degC, double u_K) {
  RunInput input = made_run("atmospheric_steam", stated_options(u_K));
  input.treatment->counts_from_degC = cut_degC;
  return input;
}

// Judged F of bag 1 with its whole trace moved, which is what an error of the probe does.
double F_of_moved(const RunInput& input, Trace trace, double by_K) {
  for (double& degC : trace.degC[0])
    degC += by_K;
  return probe_of(judged(input, trace), "Probe 1").F_minutes;
}

// One error for the whole trace, drawn from N(0, u); the F that one in twenty falls below.
double F_one_in_twenty(const RunInput& input, const Trace& trace, double u_K, int draws) {
  std::mt19937_64 random(21);
  std::normal_distribution<double> error(0, u_K);
  std::vector<double> F_minutes;
  for (int i = 0; i < draws; ++i)
    F_minutes.push_back(F_of_moved(input, trace, error(random)));
  std::sort(F_minutes.begin(), F_minutes.end());
  return F_minutes[static_cast<std::size_t>(draws / 20)];
}

double wavy(double t) {
  return 119 + 2 * std::sin(t / 900);
}

} // namespace

TEST_CASE("without noise and cut-off the lower bound is F times 10^(-k u / z)") {
  // Bigelow's model: a shift by -k u multiplies every rate alike.
  const Trace trace = trace_of(3, 7200, wavy);
  for (const double u_K : {0.0, 0.12, 0.5, 1.44}) {
    const ProbeResult bag = probe_of(judged(without_cut_off(u_K), trace), "Probe 1");
    CAPTURE(u_K);
    CHECK(bag.noise_K == 0);
    CHECK(relative_error(bag.F_minutes_lower, bag.F_minutes * std::pow(10, -coverage_k * u_K / 10)) < 1e-12);
  }
}

TEST_CASE("a cut-off near the plateau leaves a lower bound far below the scaled F") {
  // 1 h at 96.0 C, F at 100 C, z 10 K: F = 60 10^-0.4 = 23.9; scaled by u 1.44 K it would be 13.8, yet the
  // trace moved down by 2.37 K lies below 95 C and earns nothing.
  const Trace trace = trace_of(3, 3600, [](double) { return 96.0; });
  const ProbeResult bag = probe_of(judged(with_cut_off(95, 1.44), trace), "Probe 1");
  CHECK(relative_error(bag.F_minutes, 60 * std::pow(10, -0.4)) < 1e-12);
  CHECK(bag.F_minutes_lower == 0);
  const ProbeResult surer = probe_of(judged(with_cut_off(95, 0.5), trace), "Probe 1");
  CHECK(relative_error(surer.F_minutes_lower, 60 * std::pow(10, (-4 - coverage_k * 0.5) / 10)) < 1e-12);
}

TEST_CASE("drawn probe errors fall below the lower bound one time in twenty") {
  const int draws = cases(2000, 20000);
  const Trace trace = trace_of(3, 3600, wavy);
  const ProbeResult bag = probe_of(judged(without_cut_off(0.5), trace), "Probe 1");
  CHECK(relative_error(F_one_in_twenty(without_cut_off(0.5), trace, 0.5, draws), bag.F_minutes_lower) <
        0.015);
}

TEST_CASE("drawn probe errors at a cut-off earn nothing one time in twenty") {
  const Trace trace = trace_of(3, 3600, [](double) { return 96.0; });
  CHECK(F_one_in_twenty(with_cut_off(95, 1.44), trace, 1.44, 1000) == 0);
}

TEST_CASE("noise is divided out of the lower bound") {
  // E[10^(e/z)] = exp((s ln10 / z)^2 / 2) for e of N(0, s): the mean of a lognormal.
  std::mt19937_64 random(22);
  std::normal_distribution<double> noise(0, 1);
  Trace trace = trace_of(
      3, 86400, [](double) { return 121.1; }, 10);
  for (double& degC : trace.degC[0])
    degC += noise(random);
  const ProbeResult bag = probe_of(judged(without_cut_off(0), trace), "Probe 1");
  CHECK(within(bag.noise_K, 1, 0.06));
  CHECK(relative_error(bag.F_minutes, 1440 * std::exp(std::pow(std::log(10.0) / 10, 2) / 2)) < 0.01);
  CHECK(relative_error(bag.F_minutes_lower, 1440) < 0.01);
}
