#include "sizing/steam_supply.h"

#include "errors/our_fault.h"
#include "steam/latent_heat.h"
#include "steam/region.h"
#include "steam/saturation.h"

#include <numbers>

namespace coldbag {

namespace {

constexpr double one_atm_Pa = 101325;

} // namespace

double heat_to_steam_J_per_kg(double feed_degC, double abs_pressure_Pa, double dryness) {
  const double boils_degC = saturation_temperature_degC(abs_pressure_Pa);
  our_check(feed_degC >= 0 && feed_degC <= boils_degC, "feed water is liquid at the pressure of the steam");
  our_check(dryness > 0 && dryness <= 1, "a dryness is above 0 and at most 1");
  const double warming_J_per_kg =
      water_enthalpy_J_per_kg(boils_degC) - liquid_water(feed_degC, abs_pressure_Pa).enthalpy_J_per_kg;
  return warming_J_per_kg + dryness * latent_heat_J_per_kg(boils_degC);
}

double factor_of_evaporation(double feed_degC, double abs_pressure_Pa) {
  return heat_to_steam_J_per_kg(feed_degC, abs_pressure_Pa, 1) /
         latent_heat_J_per_kg(saturation_temperature_degC(one_atm_Pa));
}

double steam_rate_kg_per_s(double power_W, double feed_degC, double abs_pressure_Pa, double dryness) {
  our_check(power_W >= 0, "heat to the water is not negative");
  return power_W / heat_to_steam_J_per_kg(feed_degC, abs_pressure_Pa, dryness);
}

double boiler_power_W(double rate_kg_per_s, double feed_degC, double abs_pressure_Pa, double dryness) {
  our_check(rate_kg_per_s >= 0, "a rate of steam is not negative");
  return rate_kg_per_s * heat_to_steam_J_per_kg(feed_degC, abs_pressure_Pa, dryness);
}

double electric_current_A(double power_W, double volts, int phases) {
  our_check(power_W >= 0, "power is not negative");
  our_check(volts > 0, "a voltage is above 0");
  our_check(phases == 1 || phases == 3, "there are one or three phases");
  return power_W / (phases == 3 ? std::numbers::sqrt3 * volts : volts);
}

} // namespace coldbag
