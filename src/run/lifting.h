// How much may be lifted by hand: the revised NIOSH lifting equation.
#pragma once

#include "farm/bag.h"
#include "run/caution_tables.h"

#include <optional>
#include <vector>

namespace coldbag {

/// One way of lifting, in the units of the equation.
struct LiftPosture {
  double reach_cm = 25;  ///< hands ahead of the ankles
  double height_cm = 75; ///< hands above the floor at the start
  double travel_cm = 25; ///< up or down
  double turn_deg = 0;   ///< of the body
  double per_minute = 0.2;
  double work_s = 3600;
  std::string grip = "poor";
};

/// Recommended weight limit, kg: 23 HM VM DM AM FM CM. 0 beyond the reach of the equation. FM is that of the
/// next row up in the table.
/// Waters, Putz-Anderson, Garg, Applications manual for the revised NIOSH lifting equation (Publ. 94-110,
/// rev. 2021); FM and CM from memory. Guarded by tests/published/safety_test.cpp.
[[nodiscard]] double recommended_weight_kg(const LiftPosture& posture,
                                           const std::vector<LiftFrequency>& frequencies);

/// What a site file says of lifting a bag, where it says enough: mass, reach, height and travel. What is left
/// out: no turning, a lift in five minutes for an hour, and a poor grip, as bags have no handles (assumed).
struct StatedLift {
  double mass_kg = 0;
  LiftPosture posture;
};
[[nodiscard]] std::optional<StatedLift> stated_lift(const Bag& bag);

} // namespace coldbag
