// Against the exact integral of the same trace (kinetics/exposure).
#include "kinetics/time_at_temperature.h"

#include "kinetics/exposure.h"
#include "support/approx.h"

#include <doctest/doctest.h>

#include <cmath>
#include <random>

using namespace coldbag;
using namespace coldbag::test;

namespace {

struct Both {
  TimeAtTemperature by_time;
  ExposureMeter exact;
  explicit Both(const Reference& reference) : exact(reference, {0, -0.7, 0.7}) {}
  void take(double dt_s, double t1, double t2, Join join = Join::linear) {
    by_time.take(dt_s, t1, t2, join);
    exact.take(dt_s, t1, t2, join);
  }
};

} // namespace

TEST_CASE("time at temperature gives the F of the exact integral, whatever z and shift") {
  for (const double z_K : {3.0, 7.0, 10.0, 13.3}) {
    for (const double noise_K : {0.0, 0.1, 0.5}) {
      CAPTURE(z_K);
      CAPTURE(noise_K);
      const Reference reference{"made", 100, z_K, 60.0, 110.0};
      Both both(reference);
      std::mt19937_64 random(7);
      std::normal_distribution<double> noise(0, 1);
      double last = 20;
      for (int i = 1; i <= 6000; ++i) {
        const double degC = 20 + 78 * (1 - std::exp(-i / 1500.0)) + noise_K * noise(random);
        both.take(10, last, degC);
        last = degC;
      }
      const double shifts[] = {0, -0.7, 0.7};
      for (std::size_t s = 0; s < 3; ++s)
        CHECK(relative_error(both.by_time.F_minutes(reference, shifts[s]), both.exact.F_minutes(s)) < 2e-6);
    }
  }
}

TEST_CASE("a trace that stands still is good to the curve of the rate inside a cell") {
  for (const double degC : {96.0, 96.01, 96.0156}) {
    const Reference reference{"made", 100, 10, std::nullopt, std::nullopt};
    Both both(reference);
    both.take(3600, degC, degC);
    CHECK(relative_error(both.by_time.F_minutes(reference, 0), both.exact.F_minutes(0)) < 7e-6);
  }
}

TEST_CASE("a gap counts at its lower end and a broken stretch counts nothing") {
  const Reference reference{"made", 100, 10, std::nullopt, std::nullopt};
  Both both(reference);
  both.take(600, 96, 90, Join::gap);
  both.take(6000, 96, 96, Join::broken);
  both.take(60, 96, 96, Join::withheld);
  CHECK(relative_error(both.by_time.F_minutes(reference, 0), both.exact.F_minutes(0)) < 7e-6);
  CHECK(both.exact.F_minutes(0) > 0);
}

TEST_CASE("cut-offs of the reference apply to the moved trace") {
  const Reference reference{"made", 100, 10, 95.0, std::nullopt};
  TimeAtTemperature time;
  time.take(3600, 96, 96, Join::linear);
  CHECK(time.F_minutes(reference, 0) > 0);
  CHECK(time.F_minutes(reference, -1.1) == 0);
}
