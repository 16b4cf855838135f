// The air outside the vessel: altitude or barometer to pressure and boiling point.
#pragma once

#include <string_view>

namespace coldbag {

/// Absolute pressures that a barometer on land can show at a site: from 9,000 m in a deep low to -500 m in a
/// strong high (assumed).
inline constexpr double lowest_site_Pa = 29e3;
inline constexpr double highest_site_Pa = 115e3;
inline constexpr std::string_view site_pressure_words = "from 29 kPa to 115 kPa";
[[nodiscard]] constexpr bool is_site_pressure(double abs_pressure_Pa) {
  return abs_pressure_Pa >= lowest_site_Pa && abs_pressure_Pa <= highest_site_Pa;
}

/// The same at sea level: on record are 87 to 108 kPa (from memory).
inline constexpr double lowest_at_sea_level_Pa = 85e3;
inline constexpr double highest_at_sea_level_Pa = 110e3;
inline constexpr std::string_view sea_level_pressure_words = "from 85 kPa to 110 kPa";

/// Pressure of the standard atmosphere, Pa, at a geometric altitude above the sea, -500 to 9,000 m (checked).
/// ISO 2533:1975 (ICAO standard atmosphere), troposphere; geometric altitude is turned into geopotential
/// height.
[[nodiscard]] double standard_pressure_Pa(double altitude_m);

/// Geopotential height, m, of a geometric altitude, -500 to 9,000 m (checked): the height at which the
/// standard atmosphere is written. ISO 2533:1975.
[[nodiscard]] double geopotential_height_m(double altitude_m);

/// Pressure at the site, Pa, from a barometer that is set to show the pressure at sea level (as weather
/// services print it), by the standard atmosphere's ratio between the two heights.
/// sea_level_pressure_Pa: above 0; altitude_m: -500 to 9,000 (both checked).
[[nodiscard]] double site_pressure_from_sea_level_Pa(double sea_level_pressure_Pa, double altitude_m);

/// Temperature at which water boils in the open at this absolute pressure, degC.
/// site_pressure_Pa: 611.213 to 22.064e6 (checked). IAPWS R7-97(2012), region 4.
[[nodiscard]] double boiling_point_degC(double site_pressure_Pa);

/// Altitude at which the standard atmosphere has this pressure, m; inverse of standard_pressure_Pa.
/// abs_pressure_Pa: 30,700 to 107,500 (checked).
[[nodiscard]] double altitude_of_pressure_m(double abs_pressure_Pa);

} // namespace coldbag
