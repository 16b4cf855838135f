#include "steam/atmosphere.h"

#include "errors/our_fault.h"
#include "steam/saturation.h"

#include <cmath>

namespace coldbag {

namespace {

// ISO 2533:1975, troposphere; from memory, guarded by tests/published/steam_test.cpp.
constexpr double sea_level_Pa = 101325;
constexpr double sea_level_K = 288.15;
constexpr double lapse_K_per_m = 0.0065;
constexpr double gravity_m_per_s2 = 9.80665;
constexpr double air_constant_J_per_kg_K = 287.05287;
constexpr double earth_radius_m = 6356766;
constexpr double exponent = gravity_m_per_s2 / (lapse_K_per_m * air_constant_J_per_kg_K);

constexpr double lowest_altitude_m = -500;
constexpr double highest_altitude_m = 9000;

void check_altitude(double altitude_m) {
  our_check(altitude_m >= lowest_altitude_m && altitude_m <= highest_altitude_m,
            "altitude is between -500 and 9000 m");
}

} // namespace

double geopotential_height_m(double altitude_m) {
  check_altitude(altitude_m);
  return earth_radius_m * altitude_m / (earth_radius_m + altitude_m);
}

double standard_pressure_Pa(double altitude_m) {
  const double height_m = geopotential_height_m(altitude_m);
  return sea_level_Pa * std::pow(1 - lapse_K_per_m * height_m / sea_level_K, exponent);
}

double site_pressure_from_sea_level_Pa(double sea_level_pressure_Pa, double altitude_m) {
  our_check(std::isfinite(sea_level_pressure_Pa) && sea_level_pressure_Pa > 0,
            "a barometer's pressure is above zero");
  return sea_level_pressure_Pa * (standard_pressure_Pa(altitude_m) / sea_level_Pa);
}

double boiling_point_degC(double site_pressure_Pa) {
  return saturation_temperature_degC(site_pressure_Pa);
}

double altitude_of_pressure_m(double abs_pressure_Pa) {
  our_check(abs_pressure_Pa >= 30'700 && abs_pressure_Pa <= 107'500,
            "pressure is one of the lower atmosphere");
  const double height_m =
      sea_level_K / lapse_K_per_m * (1 - std::pow(abs_pressure_Pa / sea_level_Pa, 1 / exponent));
  return earth_radius_m * height_m / (earth_radius_m - height_m);
}

} // namespace coldbag
