#include "substrate/vapour.h"

#include "steam/latent_heat.h"
#include "steam/saturation.h"

#include <algorithm>
#include <cmath>

namespace coldbag {

namespace {

constexpr double standard_Pa = 101325;
constexpr double gas_J_per_molK = 8.314462618;   // CODATA 2018
constexpr double water_kg_per_mol = 0.018015268; // IAPWS R7-97
constexpr double kelvin = 273.15;
constexpr double ice_point_degC = 0.01;

/// 1 at x <= 0, 0 at x >= 1, with level ends.
double smooth_fall(double x) {
  const double held = std::clamp(x, 0.0, 1.0);
  return 1 - held * held * (3 - 2 * held);
}

/// Two-hydrate sorption at 60 C: moisture in % of dry mass at a relative humidity.
double sorbed_percent(double humidity) {
  constexpr double t = 60;
  constexpr double w = 349 + 1.29 * t + 0.0135 * t * t;
  constexpr double k = 0.805 + 0.000736 * t - 0.00000273 * t * t;
  constexpr double k1 = 6.27 - 0.00938 * t - 0.000303 * t * t;
  constexpr double k2 = 1.91 + 0.0407 * t - 0.000293 * t * t;
  const double kh = k * humidity;
  const double first = k1 * kh;
  const double second = k1 * k2 * kh * kh;
  return 1800 / w * (kh / (1 - kh) + (first + 2 * second) / (1 + first + second));
}

} // namespace

double water_activity(double dry_basis_percent) {
  double low = 0;
  double high = 1;
  if (dry_basis_percent >= sorbed_percent(high)) return 1;
  for (int halving = 0; halving < 50; ++halving) {
    const double middle = (low + high) / 2;
    (sorbed_percent(middle) < dry_basis_percent ? low : high) = middle;
  }
  return high;
}

double vapour_share(const Packing& packing, Closure closure, const PoreRules& rules) {
  const double works = closure == Closure::sealed ? rules.sealed_share : rules.open_share;
  const double fall = smooth_fall((packing.filling() - rules.filling_open_to) /
                                  (rules.filling_shut_from - rules.filling_open_to));
  const double open = rules.filling_least + (1 - rules.filling_least) * fall;
  const double dry_basis_percent = 100 * packing.moisture_wb / (1 - packing.moisture_wb);
  return std::max(packing.air_share, 0.0) * rules.tortuosity * works * open *
         water_activity(dry_basis_percent);
}

double vapour_diffusivity_m2_per_s(double t_degC, double abs_pressure_Pa) {
  return 2.17e-5 * std::pow((t_degC + kelvin) / kelvin, 1.88) * standard_Pa / abs_pressure_Pa;
}

VapourTable::VapourTable() {
  const auto count = static_cast<std::size_t>((highest_degC - lowest_degC) / step_K) + 1;
  strength_.reserve(count);
  saturation_Pa_.reserve(count);
  for (std::size_t node = 0; node < count; ++node) {
    const double t_degC = lowest_degC + step_K * static_cast<double>(node);
    const double liquid_degC = std::max(t_degC, ice_point_degC);
    // Over ice vapour carries next to nothing; it fades by the slope that saturation has at the ice point.
    const double fade = std::exp((t_degC - liquid_degC) * saturation_slope_Pa_per_K(ice_point_degC) /
                                 saturation_pressure_Pa(ice_point_degC));
    strength_.push_back(fade * standard_Pa * vapour_diffusivity_m2_per_s(t_degC, standard_Pa) *
                        water_kg_per_mol / (gas_J_per_molK * (t_degC + kelvin)) *
                        latent_heat_J_per_kg(liquid_degC) * saturation_slope_Pa_per_K(liquid_degC));
    saturation_Pa_.push_back(fade * saturation_pressure_Pa(liquid_degC));
  }
}

double VapourTable::added_W_per_mK(std::size_t node, double abs_pressure_Pa, double air_kept) const {
  const double air_Pa = std::max(abs_pressure_Pa - saturation_Pa_[node], air_kept * abs_pressure_Pa);
  return strength_[node] / air_Pa;
}

} // namespace coldbag
