#include "run/lifting.h"

#include <algorithm>
#include <cmath>

namespace coldbag {

namespace {

// Constants of the equation and the ends of its range (Publ. 94-110; the ends from memory).
constexpr double load_constant_kg = 23;
constexpr double least_reach_cm = 25, most_reach_cm = 63;
constexpr double best_height_cm = 75, most_height_cm = 175;
constexpr double least_travel_cm = 25, most_travel_cm = 175;
constexpr double most_turn_deg = 135;

double reach_part(double cm) {
  return cm > most_reach_cm ? 0 : 25 / std::max(cm, least_reach_cm);
}

double height_part(double cm) {
  return cm > most_height_cm ? 0 : 1 - 0.003 * std::abs(cm - best_height_cm);
}

double travel_part(double cm) {
  return cm > most_travel_cm ? 0 : std::min(1.0, 0.82 + 4.5 / std::max(cm, least_travel_cm));
}

double turn_part(double deg) {
  return deg > most_turn_deg ? 0 : 1 - 0.0032 * deg;
}

double frequency_part(const LiftPosture& posture, const std::vector<LiftFrequency>& frequencies) {
  for (const LiftFrequency& row : frequencies) {
    if (row.lifts_per_minute < posture.per_minute) continue;
    if (posture.work_s <= 3600) return row.to_1_h;
    return posture.work_s <= 7200 ? row.to_2_h : row.to_8_h;
  }
  return 0;
}

double grip_part(const LiftPosture& posture) {
  if (posture.grip == "good") return 1;
  if (posture.grip == "fair") return posture.height_cm < best_height_cm ? 0.95 : 1;
  return 0.9;
}

} // namespace

double recommended_weight_kg(const LiftPosture& posture, const std::vector<LiftFrequency>& frequencies) {
  return load_constant_kg * reach_part(posture.reach_cm) * height_part(posture.height_cm) *
         travel_part(posture.travel_cm) * turn_part(posture.turn_deg) * frequency_part(posture, frequencies) *
         grip_part(posture);
}

std::optional<StatedLift> stated_lift(const Bag& bag) {
  if (!bag.lift) return std::nullopt;
  const Lift& lift = *bag.lift;
  const auto mass_kg = lift.mass_kg.known() ? lift.mass_kg.value : bag.mass_kg.value;
  if (!mass_kg || !lift.reach_m.known() || !lift.height_m.known() || !lift.travel_m.known())
    return std::nullopt;
  StatedLift stated;
  stated.mass_kg = *mass_kg;
  stated.posture.reach_cm = 100 * *lift.reach_m.value;
  stated.posture.height_cm = 100 * *lift.height_m.value;
  stated.posture.travel_cm = 100 * *lift.travel_m.value;
  stated.posture.turn_deg = lift.turn_deg.value.value_or(0);
  stated.posture.per_minute = lift.per_minute.value.value_or(stated.posture.per_minute);
  stated.posture.work_s = lift.work_s.value.value_or(stated.posture.work_s);
  stated.posture.grip = lift.grip.value.value_or(stated.posture.grip);
  return stated;
}

} // namespace coldbag
