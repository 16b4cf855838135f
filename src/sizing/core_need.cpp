#include "sizing/core_need.h"

#include "errors/our_fault.h"

#include <algorithm>

namespace coldbag {

namespace {

constexpr double s_per_minute = 60;

/// When a straight line first is at or above a level, as a share of the way; none where it never is.
std::optional<double> crosses_up(double from, double to, double level) {
  if (from >= level) return 0;
  if (to < level) return std::nullopt;
  return (level - from) / (to - from);
}

/// How much of a straight stretch earns so much F; all of it earns more.
double share_that_earns(double F_minutes, double dt_s, double from_degC, double to_degC,
                        const Reference& reference) {
  double low = 0;
  double high = 1;
  for (int turn = 0; turn < 40; ++turn) {
    const double middle = (low + high) / 2;
    const double at_degC = from_degC + middle * (to_degC - from_degC);
    (segment_F_minutes(middle * dt_s, from_degC, at_degC, reference) < F_minutes ? low : high) = middle;
  }
  return high;
}

} // namespace

NeedOfTreatment need_of(const Treatment& treatment, double boiling_degC, double bag_kg, double ku_K) {
  NeedOfTreatment out;
  out.need.ku_K = ku_K;
  out.need.setpoint_degC = treatment.setpoint_degC;
  if (treatment.setpoint_under_boiling_K)
    out.need.setpoint_degC =
        std::min(out.need.setpoint_degC, boiling_degC - *treatment.setpoint_under_boiling_K);
  for (const TreatmentCriterion& criterion : treatment.criteria) {
    if (!criterion.fails || criterion.sense != Sense::at_least) continue;
    const bool is_heavier = criterion.heavier && bag_kg > criterion.heavier->than_kg;
    const double required = is_heavier ? criterion.heavier->required : criterion.required;
    if (criterion.measure == Measure::F) {
      out.need.reference = criterion.reference.value_or(treatment.reference);
      if (treatment.counts_from_degC) out.need.reference->lowest_degC = treatment.counts_from_degC;
      out.need.F_minutes = std::max(out.need.F_minutes, required);
    } else if (criterion.measure == Measure::hold || criterion.measure == Measure::all_hot) {
      out.need.hold_s = std::max(out.need.hold_s, required * s_per_minute);
    } else if (criterion.measure != Measure::moisture) {
      out.left_out.push_back(criterion.name);
    }
  }
  return out;
}

void NeedMeter::take(double from_s, double dt_s, double from_degC, double to_degC) {
  our_check(dt_s > 0, "a stretch has a length");
  if (!hot_at_s_)
    if (const auto share = crosses_up(from_degC, to_degC, need_.setpoint_degC))
      hot_at_s_ = from_s + *share * dt_s;
  const double low_from = from_degC - need_.ku_K;
  const double low_to = to_degC - need_.ku_K;
  double F_met_share = 0;
  if (need_.reference) {
    const double earned = segment_F_minutes(dt_s, low_from, low_to, *need_.reference);
    if (F_minutes_ < need_.F_minutes && F_minutes_ + earned >= need_.F_minutes)
      F_met_share = share_that_earns(need_.F_minutes - F_minutes_, dt_s, low_from, low_to, *need_.reference);
    F_minutes_ += earned;
    F_likely_minutes_ += segment_F_minutes(dt_s, from_degC, to_degC, *need_.reference);
  }
  double hold_met_share = 0;
  const auto up = crosses_up(low_from, low_to, need_.setpoint_degC);
  if (!up || low_to < need_.setpoint_degC) {
    // What was held before it broke is not lost once it was enough.
    if (!met_at_s_) hold_s_ = 0;
  } else {
    const double left_s = need_.hold_s - hold_s_;
    hold_s_ += (1 - *up) * dt_s;
    if (left_s > 0) hold_met_share = *up + left_s / dt_s;
  }
  last_degC_ = to_degC;
  if (!met_at_s_ && F_minutes_ >= need_.F_minutes && hold_s_ >= need_.hold_s)
    met_at_s_ = from_s + std::min(std::max(F_met_share, hold_met_share), 1.0) * dt_s;
}

std::optional<double> NeedMeter::left_s() const {
  if (met_at_s_) return 0;
  const double low_degC = last_degC_ - need_.ku_K;
  double left = 0;
  if (need_.hold_s > hold_s_) {
    if (low_degC < need_.setpoint_degC) return std::nullopt;
    left = need_.hold_s - hold_s_;
  }
  if (need_.reference && need_.F_minutes > F_minutes_) {
    const double rate = lethal_rate(low_degC, *need_.reference);
    if (rate < 1e-4) return std::nullopt;
    left = std::max(left, (need_.F_minutes - F_minutes_) / rate * s_per_minute);
  }
  return left;
}

} // namespace coldbag
