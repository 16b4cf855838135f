// Water and steam off the saturation line: specific volume and enthalpy from temperature and pressure.
#pragma once

namespace coldbag {

struct WaterState {
  double specific_volume_m3_per_kg = 0;
  double enthalpy_J_per_kg = 0;
  bool operator==(const WaterState&) const = default;
};

/// Liquid water at t_degC 0 to 350 and at or above its saturation pressure, up to 100 MPa. That it is liquid
/// is for the caller to know; temperature and pressure outside the equation's limits are a caller's fault
/// (checked). IAPWS R7-97(2012), region 1, Eq. 7; guarded by tests/published/steam_test.cpp (Table 5).
[[nodiscard]] WaterState liquid_water(double t_degC, double abs_pressure_Pa);

/// Steam at t_degC 0 to 800 and at or below its saturation pressure. That it is steam is for the caller to
/// know; temperature and pressure outside the equation's limits are a caller's fault (checked). IAPWS
/// R7-97(2012), region 2, Eqs. 15-17; guarded by tests/published/steam_test.cpp (Table 15).
[[nodiscard]] WaterState steam(double t_degC, double abs_pressure_Pa);

} // namespace coldbag
