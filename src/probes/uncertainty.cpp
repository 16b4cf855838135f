#include "probes/uncertainty.h"

#include "errors/our_fault.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <numbers>

namespace coldbag {

namespace {

constexpr std::int64_t day_us = 86'400'000'000;
constexpr double days_in_year = 365.25;

/// Whether a check may have been made before the run began, or after it.
bool is_before(const ProbeCheck& check, WallTime run) {
  return check.state != CheckState::as_found && check.on->us <= run.us;
}

bool is_after(const ProbeCheck& check, WallTime run) {
  const std::int64_t latest_us = check.has_clock ? check.on->us : check.on->us + day_us;
  return check.state != CheckState::as_left && latest_us > run.us;
}

/// From the check to the run; 0 for one without clock on the day of the run.
std::int64_t away_us(const ProbeCheck& check, WallTime run) {
  if (check.has_clock) return std::abs(check.on->us - run.us);
  if (run.us < check.on->us) return check.on->us - run.us;
  return std::max<std::int64_t>(0, run.us - (check.on->us + day_us));
}

/// Of two equally far, the later in the file: it mends the one above it.
const ProbeCheck* nearer(const ProbeCheck* one, const ProbeCheck& other, WallTime run) {
  return one == nullptr || away_us(other, run) <= away_us(*one, run) ? &other : one;
}

double class_without_stem_K(ProbeClass probe_class, double at_degC) {
  probe_class.stem_K.reset();
  return class_u_K(probe_class, at_degC);
}

std::optional<CheckPoint> upper_point(const ProbeCheck& check) {
  return check.high ? check.high : check.low;
}

/// How the line through two points carries their errors to a temperature.
double carried(const ProbeCheck& check, double at_degC) {
  if (!check.low || !check.high) return 1;
  const double way = (at_degC - check.low->is_degC) / (check.high->is_degC - check.low->is_degC);
  return std::max(1.0, std::hypot(1 - way, way));
}

double age_part_K(const std::optional<double>& age_days, const CheckRules& rules) {
  if (!age_days) return u_of_half_width(rules.old_drift_K_per_year);
  if (*age_days <= rules.old_after_days) return 0;
  return u_of_half_width(rules.old_drift_K_per_year * *age_days / days_in_year);
}

} // namespace

double u_of_half_width(double half_width) {
  return half_width * std::numbers::inv_sqrt3;
}

double u_of_resolution(double step) {
  return step / std::sqrt(12.0);
}

double combined_K(const ProbeErrorParts& p) {
  double squares = 0;
  for (const double part :
       {p.check_K, p.class_K, p.given_K, p.extrapolation_K, p.drift_K, p.age_K, p.resolution_K, p.stem_K})
    squares += part * part;
  return std::sqrt(squares);
}

ChecksAround checks_around(const std::vector<ProbeCheck>& checks, std::optional<WallTime> run,
                           double at_degC) {
  ChecksAround around;
  if (checks.empty()) return around;
  if (run)
    for (const ProbeCheck& check : checks) {
      if (!check.on) continue;
      if (is_before(check, *run)) around.before = nearer(around.before, check, *run);
      if (is_after(check, *run)) around.after = nearer(around.after, check, *run);
    }
  if (around.before == nullptr && around.after == nullptr) {
    around.nearest = &checks.back();
    return around;
  }
  if (around.before == nullptr || around.after == nullptr) {
    around.nearest = around.before != nullptr ? around.before : around.after;
  } else {
    const std::int64_t before_us = away_us(*around.before, *run);
    const std::int64_t after_us = away_us(*around.after, *run);
    const bool after_credits_less = correction_at_K(around.after->correction, at_degC) <
                                    correction_at_K(around.before->correction, at_degC);
    const bool take_after = after_us < before_us || (after_us == before_us && after_credits_less);
    around.nearest = take_after ? around.after : around.before;
  }
  around.age_days = static_cast<double>(away_us(*around.nearest, *run)) / static_cast<double>(day_us);
  return around;
}

ProbeError checked_error(const ChecksAround& checks, const ProbeClass& probe_class, const CheckRules& rules,
                         double resolution_K, double at_degC) {
  our_check(checks.nearest != nullptr, "a checked probe has a check");
  const ProbeCheck& check = *checks.nearest;
  ProbeError error;
  error.is_checked = true;
  error.correction = check.correction;
  error.check_on = check.on;
  error.parts.stem_K = u_of_half_width(probe_class.stem_K.value_or(0));
  error.parts.resolution_K = u_of_resolution(resolution_K);
  if (check.u_K) {
    error.parts.check_K = *check.u_K * carried(check, at_degC);
    error.parts.age_K = age_part_K(checks.age_days, rules);
    const auto upper = upper_point(check);
    if (upper && at_degC > upper->is_degC + rules.extrapolated_beyond_K)
      error.parts.extrapolation_K = u_of_half_width(class_tolerance_K(probe_class, at_degC));
  } else {
    error.parts.class_K = class_without_stem_K(probe_class, at_degC);
  }
  if (checks.before != nullptr && checks.after != nullptr)
    error.parts.drift_K = u_of_half_width(std::abs(correction_at_K(checks.before->correction, at_degC) -
                                                   correction_at_K(checks.after->correction, at_degC)));
  error.u_K = combined_K(error.parts);
  return error;
}

ProbeError class_error(const ProbeClass& probe_class, double resolution_K, double at_degC) {
  ProbeError error;
  error.parts.class_K = class_without_stem_K(probe_class, at_degC);
  error.parts.stem_K = u_of_half_width(probe_class.stem_K.value_or(0));
  error.parts.resolution_K = u_of_resolution(resolution_K);
  error.u_K = combined_K(error.parts);
  return error;
}

} // namespace coldbag
