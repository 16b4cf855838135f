// Bags and steam to try the bag model on. No outside figures.
#pragma once

#include "heatup/bag_body.h"
#include "steam/saturation.h"

#include <algorithm>
#include <string>
#include <vector>

namespace coldbag::test {

template <class T>
Stated<T> stated(T value) {
  Stated<T> out;
  out.value = value;
  return out;
}

inline const HeatingTables& heating_tables() {
  static const HeatingTables tables = read_heating_tables(TableFiles::built_in());
  return tables;
}

/// The brick on which the mathematics was tried: 2.3 kg, 13 x 15 x 20 cm, 62 %, breathing.
inline Bag tried_bag() {
  Bag bag;
  bag.name = "brick";
  bag.substrate = stated<std::string>("sawdust");
  bag.mass_kg = stated(2.3);
  bag.moisture_wb = stated(0.62);
  bag.length_m = stated(0.20);
  bag.width_m = stated(0.13);
  bag.height_m = stated(0.15);
  bag.closure = stated<std::string>("breathing");
  bag.neighbours = stated<std::string>("apart");
  return bag;
}

inline BagBody tried_body() {
  return describe_bag(tried_bag(), {}, {}, heating_tables()).body;
}

/// Saturated steam, at its temperature from the first moment.
inline SteamTrace steady_steam(double degC, double hours) {
  const double Pa = std::max(101325.0, saturation_pressure_Pa(degC));
  return SteamTrace({{0, degC, Pa}, {hours * 3600, degC, Pa}});
}

/// A body whose heat capacity, conductivity and film do not change: what the exact series is for.
inline BagBody constant_body(BagForm form, std::array<double, 3> half_m, double biot_on_shortest) {
  Material still;
  still.dry_cp_J_per_kgK = 3000;
  BagBody body{.form = form,
               .half_m = half_m,
               .density_kg_per_m3 = 600,
               .mass_kg = 2,
               .enthalpy = Enthalpy(still, WaterHeat{-0.5, 2, 333600, 2100, 4190}, 0),
               .conductivity_W_per_mK = 0.27,
               .is_breathing = false};
  const double half = half_m[static_cast<std::size_t>(body.shortest())];
  body.film_W_per_m2K.fill(biot_on_shortest * body.conductivity_W_per_mK / half);
  return body;
}

} // namespace coldbag::test
