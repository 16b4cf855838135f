// A check as it was made: what was read at the known temperatures, and what that is worth.
#pragma once

#include "farm/probe.h"
#include "probes/check_rules.h"

#include <optional>

namespace coldbag {

/// What was read at one known temperature.
struct PointRead {
  CheckPoint point;
  double reference_u_K = 0; ///< standard uncertainty of the known temperature
  double resolution_K = 0;  ///< smallest step the reading shows
  double spread_K = 0;      ///< standard deviation of the readings of a rest; 0 for one reading
  bool operator==(const PointRead&) const = default;
};

/// Standard uncertainty of the correction at this point: reference, resolution / sqrt 12 and spread in
/// squares (JCGM 100:2008, 5.1.2 and F.2.2.1, from memory). The spread is not divided by the root of the
/// number of readings: neighbours in a log are not independent.
[[nodiscard]] double point_u_K(const PointRead& read);

/// Ice and clean water: 0 C, within `ice_half`.
[[nodiscard]] double ice_reference_u_K(const CheckRules& rules);

/// Steam over water that boils at this pressure, degC to a hundredth of a kelvin (IAPWS R7-97(2012), region
/// 4). site_pressure_Pa: 30,000 to 120,000 (checked).
[[nodiscard]] double boil_degC(double site_pressure_Pa);
/// Its standard uncertainty: the half-width of the pressure by the slope of the saturation line, and
/// `boil_half`.
[[nodiscard]] double boil_reference_u_K(double site_pressure_Pa, double pressure_half_Pa,
                                        const CheckRules& rules);

/// The check of these points; u_K and reference_u_K are the larger of the two points', rounded up to 0.01 K.
/// At least one point is there, and the low one is the colder (checked).
[[nodiscard]] ProbeCheck made_check(const std::optional<PointRead>& low,
                                    const std::optional<PointRead>& high);

} // namespace coldbag
