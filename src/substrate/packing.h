// How much of a filled bag is solid, water and air.
#pragma once

#include "substrate/material.h"

namespace coldbag {

/// Shares of the volume, each 0 to 1; they add up to 1 (air below zero where more was packed than fits).
struct Packing {
  double dry_kg_per_m3 = 0;
  double moisture_wb = 0;
  double solid_share = 0;
  double water_share = 0;
  double air_share = 0;
  /// Of the pores, how much is water.
  [[nodiscard]] double filling() const { return water_share / (water_share + air_share); }
  bool operator==(const Packing&) const = default;
};

/// mass_kg and volume_m3 above 0, moisture_wb 0 to under 1 (checked). Water at 998 kg/m3.
[[nodiscard]] Packing pack(const Material& material, double mass_kg, double volume_m3, double moisture_wb);

/// Most such a volume can hold, kg: no air left.
[[nodiscard]] double most_mass_kg(const Material& material, double volume_m3, double moisture_wb);

} // namespace coldbag
