#include "steam/latent_heat.h"

#include "errors/our_fault.h"
#include "steam/region.h"
#include "steam/saturation.h"

namespace coldbag {

namespace {

/// The two equations meet the saturation line up to 350 degC; the triple point is the lower end.
double pressure_at_saturation_Pa(double t_degC) {
  our_check(t_degC >= 0.01 && t_degC <= 350, "temperature is between the triple point and 350 degC");
  return saturation_pressure_Pa(t_degC);
}

} // namespace

double water_enthalpy_J_per_kg(double t_degC) {
  return liquid_water(t_degC, pressure_at_saturation_Pa(t_degC)).enthalpy_J_per_kg;
}

double steam_enthalpy_J_per_kg(double t_degC) {
  return steam(t_degC, pressure_at_saturation_Pa(t_degC)).enthalpy_J_per_kg;
}

double latent_heat_J_per_kg(double t_degC) {
  return steam_enthalpy_J_per_kg(t_degC) - water_enthalpy_J_per_kg(t_degC);
}

double steam_specific_volume_m3_per_kg(double t_degC) {
  return steam(t_degC, pressure_at_saturation_Pa(t_degC)).specific_volume_m3_per_kg;
}

} // namespace coldbag
