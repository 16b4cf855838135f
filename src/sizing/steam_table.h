// Water and steam at saturation, looked up: a balance asks for them hundreds of thousands of times.
#pragma once

namespace coldbag {

/// One temperature of the saturation line.
struct Saturated {
  double water_J_per_kg = 0; ///< enthalpy of the liquid
  double steam_J_per_kg = 0; ///< of the dry steam
  double steam_kg_per_m3 = 0;
  [[nodiscard]] double latent_J_per_kg() const { return steam_J_per_kg - water_J_per_kg; }
};

/// Straight between nodes half a kelvin apart, t_degC 0.01 to 200, at its ends beyond: within 1e-4 of IAPWS
/// R7-97(2012). Guarded by tests/sizing/steam_table_test.cpp.
[[nodiscard]] Saturated saturated(double t_degC);

} // namespace coldbag
