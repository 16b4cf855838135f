// What a boiler must give for the steam a load takes, and what it can make.
#pragma once

namespace coldbag {

/// Heat that turns 1 kg of feed water into saturated steam, J/kg: water at the boiling point less water at
/// the feed's temperature, and the share `dryness` of the heat of evaporation. Both at the pressure at which
/// the steam is made. feed_degC: 0 up to the boiling point at that pressure; abs_pressure_Pa: 611.7 to
/// 16.5e6; dryness: share of vapour in the steam's mass, above 0, up to 1 (all checked).
/// IAPWS R7-97(2012), regions 1 and 2.
[[nodiscard]] double heat_to_steam_J_per_kg(double feed_degC, double abs_pressure_Pa, double dryness);

/// Factor of evaporation: that heat for dry steam, over the heat of evaporation at 1 atm. Steam made, times
/// this, is the steam that the same heat would make from and at 100 degC (212 F), in which boilers are rated.
/// Ranges as above.
[[nodiscard]] double factor_of_evaporation(double feed_degC, double abs_pressure_Pa);

/// Steam that a boiler makes of so much heat to its water, kg/s. power_W: heat that reaches the water, 0 or
/// more (checked); the rest as for heat_to_steam_J_per_kg.
[[nodiscard]] double steam_rate_kg_per_s(double power_W, double feed_degC, double abs_pressure_Pa,
                                         double dryness);

/// Heat to the water that so much steam takes, W; the other way round. rate_kg_per_s: 0 or more (checked).
[[nodiscard]] double boiler_power_W(double rate_kg_per_s, double feed_degC, double abs_pressure_Pa,
                                    double dryness);

/// Current in each line that feeds heating elements, A: P / U for one phase, P / (sqrt 3 U) for three with
/// the load spread evenly, U between two lines; a power factor of 1, as a resistance has. What a cable and
/// its breaker must bear beyond that is for the local code and an electrician. power_W: 0 or more; volts:
/// above 0; phases: 1 or 3 (all checked). Textbook relation, from memory.
[[nodiscard]] double electric_current_A(double power_W, double volts, int phases);

} // namespace coldbag
