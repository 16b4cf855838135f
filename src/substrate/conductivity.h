// How moist substrate conducts heat, vapour left out.
#pragma once

#include "substrate/packing.h"

namespace coldbag {

/// Base conductivity, W/mK: S (k_dry + k_water M) + k_still with S = dry bulk density / 1000 kg/m3 and M =
/// dry-basis moisture in %. MacLean 1941 for green wood (from memory), bulk density in place of specific
/// gravity (assumed). Holds for the material's ranges; beyond them it is stretched.
[[nodiscard]] double base_conductivity_W_per_mK(const Material& material, const Packing& packing);

/// Whether moisture or density lies outside the ranges in which a material's figures hold.
[[nodiscard]] bool moisture_is_stretched(const Material& material, double moisture_wb);
[[nodiscard]] bool density_is_stretched(const Material& material, const Packing& packing);

} // namespace coldbag
