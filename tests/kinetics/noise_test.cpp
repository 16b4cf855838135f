#include "kinetics/noise.h"

#include "support/approx.h"

#include <doctest/doctest.h>

#include <cmath>
#include <random>

using namespace coldbag;
using coldbag::test::within;

namespace {

// A core that warms up towards 118 degC with a time constant of an hour.
double core_degC(double time_s) {
  return 118 - 90 * std::exp(-time_s / 3600);
}

double noise_seen(double noise_K, double interval_s, int readings, unsigned seed) {
  std::mt19937_64 random(seed);
  std::normal_distribution<double> white(0, 1);
  NoiseMeter meter;
  for (int i = 0; i < readings; ++i)
    meter.take(core_degC(i * interval_s) + noise_K * white(random), i > 0);
  return meter.noise_K();
}

} // namespace

TEST_CASE("white noise on a warming core is found again") {
  for (const double noise_K : {0.05, 0.1, 0.3, 1.0})
    for (const unsigned seed : {1U, 2U, 3U}) {
      CAPTURE(noise_K);
      CAPTURE(seed);
      // The standard error of the estimate over 4000 readings is near 2 %.
      CHECK(within(noise_seen(noise_K, 10, 4000, seed), noise_K, 0, 0.08));
    }
}

TEST_CASE("a trace without noise has none however it bends") {
  for (const double interval_s : {1.0, 10.0, 60.0, 300.0})
    CHECK(noise_seen(0, interval_s, 400, 1) == 0);
  NoiseMeter still;
  for (int i = 0; i < 100; ++i)
    still.take(118, i > 0);
  CHECK(still.noise_K() == 0);
}

TEST_CASE("a step is not noise") {
  std::mt19937_64 random(5);
  std::normal_distribution<double> white(0, 0.1);
  NoiseMeter meter;
  for (int i = 0; i < 4000; ++i) {
    const double plateau = (i / 400) % 2 == 0 ? 118.0 : 98.0; // ten jumps of 20 K
    meter.take(plateau + white(random), i > 0);
  }
  CHECK(within(meter.noise_K(), 0.1, 0, 0.1));
}

TEST_CASE("readings on two sides of a gap are not compared") {
  std::mt19937_64 random(6);
  std::normal_distribution<double> white(0, 0.1);
  NoiseMeter parted;
  for (int i = 0; i < 3000; ++i) {
    const bool after_gap = i % 3 == 0; // three readings never give two differences
    parted.take(100 + white(random), !after_gap && i > 0);
  }
  CHECK(parted.noise_K() == 0);
}

TEST_CASE("a handful of readings says nothing about noise") {
  CHECK(noise_seen(0.3, 60, 12, 1) == 0);
  CHECK(noise_seen(0.3, 60, 40, 1) > 0);
}
