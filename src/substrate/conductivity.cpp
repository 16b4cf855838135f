#include "substrate/conductivity.h"

namespace coldbag {

double base_conductivity_W_per_mK(const Material& material, const Packing& packing) {
  const double dry_basis_percent = 100 * packing.moisture_wb / (1 - packing.moisture_wb);
  return packing.dry_kg_per_m3 / 1000 *
             (material.k_dry_W_per_mK + material.k_water_W_per_mK * dry_basis_percent) +
         material.k_still_W_per_mK;
}

bool moisture_is_stretched(const Material& material, double moisture_wb) {
  return moisture_wb < material.lowest_moisture_wb || moisture_wb > material.highest_moisture_wb;
}

bool density_is_stretched(const Material& material, const Packing& packing) {
  return packing.dry_kg_per_m3 < material.lowest_dry_kg_per_m3 ||
         packing.dry_kg_per_m3 > material.highest_dry_kg_per_m3;
}

} // namespace coldbag
