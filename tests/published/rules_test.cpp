// Times and temperatures that laws and standards fix, through the engine's rates.
#include "kinetics/hold.h"
#include "kinetics/lethality.h"
#include "kinetics/survivors.h"
#include "support/approx.h"

#include <doctest/doctest.h>

#include <cmath>

using namespace coldbag;
using coldbag::test::within;

namespace {

// 40 CFR 503.32(a) as North Carolina's rule 15A NCAC 02T .1106 mirrors it: D = c / 10^(0.1400 t), in days
// at t in C. A D that falls tenfold in 1/0.14 K. Cited as equation for c 131,700,000 and 50,070,000.
double sludge_days(double c, double t_degC) {
  return D_at_minutes(c, 0, 1 / 0.14, t_degC); // "minutes" stand for days here
}

} // namespace

TEST_CASE("time and temperature of the sludge rule") {
  struct Row {
    double c, t_degC, seconds, tolerance_s;
  };
  const double day_s = 86400;
  const Row rows[] = {
      {131.7e6, 50, 13.170 * day_s, 0.0005 * day_s},
      {131.7e6, 55, 63.066 * 3600, 0.0005 * 3600},
      {131.7e6, 60, 12.58 * 3600, 0.005 * 3600},
      {131.7e6, 65, 150.6 * 60, 0.05 * 60},
      {131.7e6, 70, 30.057 * 60, 0.0005 * 60},
      {131.7e6, 72, 15.77 * 60, 0.005 * 60},
      {50.07e6, 50, 5.007 * day_s, 0.0005 * day_s},
      {50.07e6, 60, 4.784 * 3600, 0.0005 * 3600},
      {50.07e6, 70, 11.43 * 60, 0.005 * 60},
      // Where the floors of 20 min, 15 s and 30 min take over.
      {131.7e6, 71.26, 20 * 60, 3},
      {131.7e6, 84.86, 15, 0.05},
      {50.07e6, 67.01, 30 * 60, 4},
  };
  for (const Row& row : rows) {
    CAPTURE(row.t_degC);
    CHECK(within(sludge_days(row.c, row.t_degC) * day_s, row.seconds, row.tolerance_s));
  }
  CHECK(within(1 / 0.14, 7.143, 0.5e-3));
}

TEST_CASE("the sludge rule as a reference for F") {
  // 70 C for 30.057 min is one rule's worth; F at 70 C with z 7.142857 must say the same of 55 C for 63.066
  // h.
  const Reference rule{"", 70, 1 / 0.14, std::nullopt, std::nullopt};
  CHECK(within(segment_F_minutes(63.066 * 3600, 55, 55, rule), 30.057, 0.005));
  // 80 C for 10 min is enough by the equation, but not by its floor of 20 min: F alone must not decide.
  CHECK(segment_F_minutes(600, 80, 80, rule) > 30.057);
  HoldMeter floor(50);
  floor.take(0, 80, Join::linear);
  floor.take(600, 80, Join::linear);
  CHECK(floor.longest().length_s() < 20 * 60);
}

TEST_CASE("wood packaging needs 30 continuous minutes at 56 C") {
  // ISPM 15 (2018): 56 C for at least 30 continuous minutes through the whole profile, core included.
  HoldMeter broken_up(56);
  double time_s = 0;
  for (int round = 0; round < 2; ++round) { // 20 min at 57, then a minute at 55
    broken_up.take(time_s, 57, Join::linear);
    broken_up.take(time_s + 1200, 57, Join::linear);
    broken_up.take(time_s + 1260, 55, Join::linear);
    time_s += 1320;
  }
  CHECK(broken_up.total_s() > 1800);
  CHECK(broken_up.longest().length_s() < 1800);
  HoldMeter whole(56);
  whole.take(0, 56, Join::linear);
  whole.take(1800, 56, Join::linear);
  CHECK(whole.longest().length_s() == 1800);
}

TEST_CASE("composting rule: three days at 55 C count only if they are unbroken") {
  // 40 CFR 257 App. II: in-vessel, 55 C or higher for three days. An hour below starts the count anew.
  HoldMeter hold(55);
  hold.take(0, 58, Join::linear);
  hold.take(2 * 86400.0, 58, Join::linear);
  hold.take(2 * 86400.0 + 3600, 54, Join::linear);
  hold.take(2 * 86400.0 + 7200, 58, Join::linear);
  hold.take(4 * 86400.0, 58, Join::linear);
  CHECK(hold.total_s() > 3 * 86400.0);
  CHECK(hold.longest().length_s() < 3 * 86400.0);
}

TEST_CASE("thresholds of F0 a treatment may ask for") {
  // EMA guideline on sterilization (2019), decision tree: 121 C for 15 min, else F0 of 8 min or more;
  // 12 x 0.21 min = 2.52 for the botulinum cook (21 CFR 113 practice, read second-hand).
  const Reference f0{"F0", 121.1, 10, std::nullopt, std::nullopt};
  CHECK(segment_F_minutes(15 * 60, 121, 121, f0) > 8);
  CHECK(within(segment_F_minutes(15 * 60, 121, 121, f0), 14.66, 0.005));
  CHECK(within(log_reduction(2.52, 0.21), 12, 1e-13));
}
