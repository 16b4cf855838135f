#include "sizing/core_need.h"
#include "support/approx.h"

#include <doctest/doctest.h>

#include <cmath>

using namespace coldbag;
using namespace coldbag::test;

namespace {

CoreNeed hold_need(double ku_K = 0) {
  CoreNeed need;
  need.setpoint_degC = 88;
  need.hold_s = 3600;
  need.ku_K = ku_K;
  return need;
}

CoreNeed F_need(double ku_K = 0) {
  CoreNeed need;
  need.setpoint_degC = 118;
  need.reference = Reference{"F0", 121.1, 10, 110.0, {}};
  need.F_minutes = 15;
  need.ku_K = ku_K;
  return need;
}

} // namespace

TEST_SUITE("what a core must have") {
  TEST_CASE("a hold is counted from the crossing and met to the second, however long the steps") {
    NeedMeter meter(hold_need());
    meter.take(0, 1000, 78, 98);
    CHECK(within(*meter.hot_at_s(), 500, 1e-9));
    CHECK(within(*meter.left_s(), 3100, 1e-9));
    meter.take(1000, 9000, 98, 98);
    CHECK(within(*meter.met_at_s(), 4100, 1e-6));
  }
  TEST_CASE("a hold that breaks begins anew") {
    NeedMeter meter(hold_need());
    meter.take(0, 3000, 90, 90);
    meter.take(3000, 10, 90, 87);
    CHECK(!meter.left_s());
    meter.take(3010, 10, 87, 90);
    CHECK(*meter.left_s() > 3500);
  }
  TEST_CASE("a probe that may read high makes the core count colder") {
    NeedMeter meter(hold_need(3));
    meter.take(0, 7200, 90, 90);
    CHECK(!meter.is_met());
    NeedMeter F(F_need(2));
    F.take(0, 60000, 121.1, 121.1);
    CHECK(within(*F.met_at_s(), 15 * 60 * std::pow(10, 0.2), 0.01));
    CHECK(within(F.F_likely_minutes(), 1000, 1e-6));
  }
  TEST_CASE("F is met where it is met on a slope, and nothing below the cut-off counts") {
    NeedMeter meter(F_need());
    meter.take(0, 36000, 109, 109);
    CHECK(within(meter.F_minutes(), 0, 1e-12));
    meter.take(36000, 7200, 109, 121.1);
    meter.take(43200, 7200, 121.1, 121.1);
    REQUIRE(meter.met_at_s());
    // On the slope 10^((T - 121.1)/10) adds up to dt / x (1 - 10^(-11.1/10)), x = ln 10 1.21.
    const double x = std::log(10.0) * 1.21;
    const double on_slope = 120 / x * (1 - std::exp(-std::log(10.0) * 1.11));
    const double wanted_s = on_slope >= 15 ? 0 : 43200 + (15 - on_slope) * 60;
    if (on_slope < 15)
      CHECK(within(*meter.met_at_s(), wanted_s, 1));
    else
      CHECK(*meter.met_at_s() < 43200);
  }
}
