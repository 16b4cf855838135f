// Which check speaks for a run, and what a probe may be off, part by part.
#include "probes/uncertainty.h"
#include "support/approx.h"

#include <doctest/doctest.h>

#include <cmath>
#include <utility>

using namespace coldbag;
using coldbag::test::within;

namespace {

CheckRules plain_rules() {
  CheckRules rules;
  rules.extrapolated_beyond_K = 5;
  rules.old_after_days = 365;
  rules.old_drift_K_per_year = 0.6;
  return rules;
}

ProbeClass class_of(double tolerance_K) {
  ProbeClass probe_class;
  probe_class.key = "some";
  probe_class.tolerance_K = tolerance_K;
  return probe_class;
}

WallTime at(int month, int day, int hour = 0) {
  return *wall_time({2026, month, day, hour, 0, 0});
}

ProbeCheck check_on(std::optional<WallTime> on, double offset_K, CheckState state = CheckState::unchanged) {
  ProbeCheck check;
  check.on = on;
  check.correction.offset_K = offset_K;
  check.state = state;
  check.u_K = 0.2;
  return check;
}

ProbeCheck two_point_check() {
  ProbeCheck check = check_on(at(3, 1), 0);
  check.low = CheckPoint{0.4, 0};
  check.high = CheckPoint{99.1, 98.31};
  check.correction = correction_of(check.low, check.high);
  return check;
}

ProbeError error_of(const std::vector<ProbeCheck>& checks, std::optional<WallTime> run, double at_degC = 96) {
  return checked_error(checks_around(checks, run, at_degC), class_of(1.5), plain_rules(), 0, at_degC);
}

} // namespace

TEST_CASE("the check nearest in time is taken, before or after the run") {
  const std::vector<ProbeCheck> checks{check_on(at(1, 1), 0.1), check_on(at(4, 1), 0.2),
                                       check_on(at(8, 1), 0.3)};
  CHECK(checks_around(checks, at(2, 1), 96).nearest == &checks[0]);
  CHECK(checks_around(checks, at(3, 25), 96).nearest == &checks[1]);
  CHECK(checks_around(checks, at(4, 20), 96).nearest == &checks[1]);
  CHECK(checks_around(checks, at(7, 1), 96).nearest == &checks[2]);
  CHECK(checks_around(checks, at(12, 1), 96).nearest == &checks[2]);
}

TEST_CASE("the order of checks in the file does not matter where they have dates") {
  const std::vector<ProbeCheck> checks{check_on(at(8, 1), 0.3), check_on(at(1, 1), 0.1)};
  const ChecksAround around = checks_around(checks, at(2, 1), 96);
  CHECK(around.nearest == &checks[1]);
  CHECK(around.before == &checks[1]);
  CHECK(around.after == &checks[0]);
}

TEST_CASE("a run before an adjustment is judged by the probe as found, one after it as left") {
  std::vector<ProbeCheck> checks{check_on(at(5, 1, 10), -0.8, CheckState::as_found),
                                 check_on(at(5, 1, 10), 0, CheckState::as_left)};
  for (ProbeCheck& check : checks)
    check.has_clock = true;
  CHECK(error_of(checks, at(4, 28)).correction.offset_K == -0.8);
  CHECK(error_of(checks, at(5, 1, 9)).correction.offset_K == -0.8);
  CHECK(error_of(checks, at(5, 1, 11)).correction.offset_K == 0);
  CHECK(error_of(checks, at(6, 1)).correction.offset_K == 0);
  // Whichever is written first.
  std::swap(checks[0], checks[1]);
  CHECK(error_of(checks, at(4, 28)).correction.offset_K == -0.8);
  CHECK(error_of(checks, at(6, 1)).correction.offset_K == 0);
}

TEST_CASE("a check of the day of the run, without a clock, may lie on either side and credits the less") {
  const std::vector<ProbeCheck> checks{check_on(at(5, 1), -0.8, CheckState::as_found),
                                       check_on(at(5, 1), 0, CheckState::as_left)};
  const ProbeError error = error_of(checks, at(5, 1, 14));
  CHECK(error.correction.offset_K == -0.8);
  CHECK(within(error.parts.drift_K, 0.8 / std::sqrt(3.0), 1e-12));
}

TEST_CASE("two checks around a run add the change between them as a rectangular drift") {
  const std::vector<ProbeCheck> checks{check_on(at(1, 1), 0.1), check_on(at(4, 1), -0.4)};
  const ProbeError error = error_of(checks, at(2, 1));
  CHECK(within(error.parts.drift_K, 0.5 / std::sqrt(3.0), 1e-12));
  CHECK(within(error.u_K, std::hypot(0.2, 0.5 / std::sqrt(3.0)), 1e-12));
  CHECK(error_of(checks, at(6, 1)).parts.drift_K == 0);
}

TEST_CASE("drift of a gain is taken at the temperature that is asked for") {
  ProbeCheck after = check_on(at(5, 1), 0);
  const std::vector<ProbeCheck> checks{two_point_check(), after};
  const ProbeError error = error_of(checks, at(4, 1), 94.226);
  // Corrections at 94.226 C: -0.774 (a reading of 95.0 becomes 94.226) and 0.
  CHECK(within(error.parts.drift_K, 0.774 / std::sqrt(3.0), 1e-3));
}

TEST_CASE("a check older than a year is widened by its age, one of a year to the day is not") {
  const std::vector<ProbeCheck> checks{check_on(at(1, 1), 0.1)};
  const WallTime a_year{at(1, 2).us + 365LL * 86'400'000'000};
  CHECK(error_of(checks, a_year).parts.age_K == 0);
  const WallTime older{a_year.us + 1'000'000};
  CHECK(within(error_of(checks, older).parts.age_K, 0.6 * 365 / 365.25 / std::sqrt(3.0), 1e-6));
  const WallTime two_years{a_year.us + 365LL * 86'400'000'000};
  CHECK(within(error_of(checks, two_years).parts.age_K, 0.6 * 730 / 365.25 / std::sqrt(3.0), 1e-6));
}

TEST_CASE("where the run or the check has no date the last check is taken, with a year's drift") {
  const std::vector<ProbeCheck> dated{check_on(at(1, 1), 0.1), check_on(at(4, 1), 0.2)};
  CHECK(error_of(dated, std::nullopt).correction.offset_K == 0.2);
  CHECK(within(error_of(dated, std::nullopt).parts.age_K, 0.6 / std::sqrt(3.0), 1e-12));
  const std::vector<ProbeCheck> undated{check_on(std::nullopt, 0.1), check_on(std::nullopt, 0.3)};
  CHECK(error_of(undated, at(4, 1)).correction.offset_K == 0.3);
  CHECK(within(error_of(undated, at(4, 1)).parts.age_K, 0.6 / std::sqrt(3.0), 1e-12));
}

TEST_CASE("more than five kelvin over the upper point the class tolerance is added") {
  const std::vector<ProbeCheck> checks{two_point_check()};
  CHECK(error_of(checks, at(4, 1), 98).parts.extrapolation_K == 0);
  CHECK(error_of(checks, at(4, 1), 103.3).parts.extrapolation_K == 0);
  CHECK(within(error_of(checks, at(4, 1), 103.32).parts.extrapolation_K, 1.5 / std::sqrt(3.0), 1e-12));
}

TEST_CASE("beyond its points a line carries the errors of both, between them no more than the larger") {
  const std::vector<ProbeCheck> checks{two_point_check()};
  CHECK(error_of(checks, at(4, 1), 50).parts.check_K == 0.2);
  CHECK(error_of(checks, at(4, 1), 98.31).parts.check_K == 0.2);
  const double way = 121.1 / 98.31;
  CHECK(within(error_of(checks, at(4, 1), 121.1).parts.check_K, 0.2 * std::hypot(1 - way, way), 1e-12));
}

TEST_CASE("a bare correction is taken as stated at every temperature") {
  const std::vector<ProbeCheck> checks{check_on(at(3, 1), -0.4)};
  const ProbeError error = error_of(checks, at(4, 1), 121.1);
  CHECK(error.u_K == 0.2);
  CHECK(error.correction.offset_K == -0.4);
}

TEST_CASE("a check that states no uncertainty corrects, and is as sure as its class") {
  ProbeCheck check = check_on(at(3, 1), -0.4);
  check.u_K.reset();
  const ProbeError error = error_of({check}, at(4, 1));
  CHECK(error.correction.offset_K == -0.4);
  CHECK(within(error.u_K, 1.5 / std::sqrt(3.0), 1e-12));
}

TEST_CASE("resolution and stem count beside the check, and beside the class alike") {
  ProbeClass probe_class = class_of(1.5);
  probe_class.stem_K = 0.6;
  const std::vector<ProbeCheck> checks{check_on(at(3, 1), 0)};
  const ProbeError checked =
      checked_error(checks_around(checks, at(4, 1), 96), probe_class, plain_rules(), 0.5, 96);
  CHECK(within(checked.parts.resolution_K, 0.144, 5e-4)); // JCGM 100:2008 F.2.2.1: 0.5 / sqrt 12
  CHECK(within(checked.parts.stem_K, 0.6 / std::sqrt(3.0), 1e-12));
  CHECK(within(checked.u_K, std::sqrt(0.04 + 0.25 / 12 + 0.12), 1e-12));
  const ProbeError unchecked = class_error(probe_class, 0.5, 96);
  CHECK(within(unchecked.u_K, std::sqrt(0.75 + 0.25 / 12 + 0.12), 1e-12));
  CHECK_FALSE(unchecked.is_checked);
}
