// Enthalpy of water and steam at saturation, and the heat between them.
#pragma once

namespace coldbag {

/// Enthalpy of boiling water, J/kg, t_degC 0.01 to 350 (checked). IAPWS R7-97(2012), region 1, Eq. 7 at
/// saturation.
[[nodiscard]] double water_enthalpy_J_per_kg(double t_degC);
/// Enthalpy of dry saturated steam, J/kg, same range. IAPWS R7-97(2012), region 2, Eqs. 15-17 at saturation.
[[nodiscard]] double steam_enthalpy_J_per_kg(double t_degC);
/// Heat of evaporation, J/kg: the difference of the two.
[[nodiscard]] double latent_heat_J_per_kg(double t_degC);
/// Specific volume of dry saturated steam, m3/kg, same range.
[[nodiscard]] double steam_specific_volume_m3_per_kg(double t_degC);

} // namespace coldbag
