#include "kinetics/exposure.h"

#include "support/approx.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <numeric>
#include <random>

using namespace coldbag;
using coldbag::test::relative_error;
using coldbag::test::within;

namespace {

const Reference f0{"F0", 121.1, 10, std::nullopt, std::nullopt};

} // namespace

TEST_CASE("a gap counts at its lower end, and the rest is what was possible") {
  ExposureMeter meter(f0, {0});
  meter.take(600, 121.1, 111.1, Join::gap);
  CHECK(within(meter.F_minutes(0), 1, 0, 1e-13));
  CHECK(within(meter.F_possible_minutes(0), 10, 0, 1e-13));
}

TEST_CASE("a broken stretch counts nothing, yet may have been hot") {
  ExposureMeter meter(f0, {0});
  meter.take(600, 121.1, 111.1, Join::broken);
  CHECK(meter.F_minutes(0) == 0);
  CHECK(within(meter.F_possible_minutes(0), 10, 0, 1e-13));
}

TEST_CASE("without gaps nothing more was possible") {
  ExposureMeter meter(f0, {0});
  meter.take(60, 100, 121.1, Join::linear);
  meter.take(600, 121.1, 121.1, Join::linear);
  CHECK(meter.F_minutes(0) > 10);
  CHECK(meter.F_possible_minutes(0) == meter.F_minutes(0));
}

TEST_CASE("a gap never earns more than a straight run would") {
  std::mt19937_64 random(3);
  std::uniform_real_distribution<double> temperature(60, 130);
  for (int i = 0; i < 2000; ++i) {
    const double t1 = temperature(random);
    const double t2 = temperature(random);
    ExposureMeter gap(f0, {0});
    ExposureMeter straight(f0, {0});
    gap.take(300, t1, t2, Join::gap);
    straight.take(300, t1, t2, Join::linear);
    REQUIRE(gap.F_minutes(0) <= straight.F_minutes(0));
    REQUIRE(gap.F_possible_minutes(0) >= straight.F_minutes(0));
  }
}

TEST_CASE("the shift moves the trace before the cut-off is applied") {
  Reference cut = f0;
  cut.lowest_degC = 100;
  ExposureMeter lowered(cut, {-0.5});
  lowered.take(600, 100.4, 100.4, Join::linear);
  CHECK(lowered.F_minutes(0) == 0);
  ExposureMeter raised(cut, {0.5});
  raised.take(600, 99.6, 99.6, Join::linear);
  CHECK(raised.F_minutes(0) > 0);
  ExposureMeter tenfold(f0, {10});
  tenfold.take(60, 121.1, 121.1, Join::linear);
  CHECK(within(tenfold.F_minutes(0), 10, 0, 1e-13));
}

TEST_CASE("several shifts at once earn what each moved trace would earn alone") {
  Reference cut = f0;
  cut.lowest_degC = 100;
  cut.highest_degC = 124;
  const std::vector<double> shifts_K = {0, -0.4, -1.645, 2};
  ExposureMeter together(cut, shifts_K);
  std::vector<LethalSum> alone(shifts_K.size());
  std::mt19937_64 random(7);
  std::uniform_real_distribution<double> temperature(90, 130);
  double last = 95;
  for (int i = 0; i < 3000; ++i) {
    const double next = temperature(random);
    together.take(60, last, next, Join::linear);
    for (std::size_t s = 0; s < shifts_K.size(); ++s)
      alone[s].add_minutes(segment_F_minutes(60, last + shifts_K[s], next + shifts_K[s], cut));
    last = next;
  }
  for (std::size_t s = 0; s < shifts_K.size(); ++s) {
    CAPTURE(shifts_K[s]);
    CHECK(relative_error(together.F_minutes(s), alone[s].minutes()) < 1e-12);
  }
  CHECK(together.F_minutes(2) < together.F_minutes(1));
  CHECK(together.F_minutes(1) < together.F_minutes(0));
  CHECK(together.F_minutes(0) < together.F_minutes(3));
}

TEST_CASE("the bands add up to F whatever the trace crosses") {
  std::mt19937_64 random(4);
  std::uniform_real_distribution<double> temperature(
      50, 119); // F70 of a minute stays below the most of a segment
  for (const Reference& reference : {f0, Reference{"F70", 70, 7.5, std::nullopt, std::nullopt}}) {
    ExposureMeter whole(reference, {0});
    BandMeter bands(reference);
    double last = 60;
    for (int i = 0; i < 3000; ++i) {
      const double next = temperature(random);
      const Join join = i % 97 == 0 ? Join::broken : (i % 31 == 0 ? Join::gap : Join::linear);
      whole.take(60, last, next, join);
      bands.take(60, last, next, join);
      last = next;
    }
    const std::vector<double> by_band = bands.F_minutes();
    REQUIRE(by_band.size() == band_edges_degC.size() + 1);
    CHECK(relative_error(std::accumulate(by_band.begin(), by_band.end(), 0.0), whole.F_minutes(0)) < 1e-12);
    CHECK(relative_error(bands.total_minutes(), whole.F_minutes(0)) < 1e-12);
  }
}

TEST_CASE("a steady temperature falls in its own band, an edge in the band above") {
  BandMeter bands(f0);
  bands.take(60, 115, 115, Join::linear);
  bands.take(60, 118, 118, Join::linear);
  bands.take(60, 130, 130, Join::linear);
  bands.take(60, 60, 60, Join::linear);
  const std::vector<double> by_band = bands.F_minutes();
  CHECK(by_band[0] == segment_F_minutes(60, 60, 60, f0));
  CHECK(by_band[5] == segment_F_minutes(60, 115, 115, f0)); // 110 to 118
  CHECK(by_band[6] == segment_F_minutes(60, 118, 118, f0)); // 118 to 124
  CHECK(by_band[7] == segment_F_minutes(60, 130, 130, f0)); // above 124
  CHECK(by_band[1] + by_band[2] + by_band[3] + by_band[4] == 0);
}

TEST_CASE("a run through two bands is split at the edge, either way") {
  BandMeter up(f0);
  up.take(600, 108, 112, Join::linear);
  BandMeter down(f0);
  down.take(600, 112, 108, Join::linear);
  CHECK(up.F_minutes() == down.F_minutes());
  CHECK(relative_error(up.F_minutes()[4], segment_F_minutes(300, 108, 110, f0)) < 1e-13);
  CHECK(relative_error(up.F_minutes()[5], segment_F_minutes(300, 110, 112, f0)) < 1e-13);
}
