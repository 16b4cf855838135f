#include "substrate/packing.h"

#include "errors/our_fault.h"

namespace coldbag {

namespace {
constexpr double water_kg_per_m3 = 998.2; // at 20 C, from memory
}

Packing pack(const Material& material, double mass_kg, double volume_m3, double moisture_wb) {
  our_check(mass_kg > 0 && volume_m3 > 0, "a bag has a mass and a volume");
  our_check(moisture_wb >= 0 && moisture_wb < 1, "moisture lies from 0 to under 1");
  const double bulk_kg_per_m3 = mass_kg / volume_m3;
  Packing packing;
  packing.moisture_wb = moisture_wb;
  packing.dry_kg_per_m3 = bulk_kg_per_m3 * (1 - moisture_wb);
  packing.solid_share = packing.dry_kg_per_m3 / material.solid_kg_per_m3;
  packing.water_share = bulk_kg_per_m3 * moisture_wb / water_kg_per_m3;
  packing.air_share = 1 - packing.solid_share - packing.water_share;
  return packing;
}

double most_mass_kg(const Material& material, double volume_m3, double moisture_wb) {
  return volume_m3 / ((1 - moisture_wb) / material.solid_kg_per_m3 + moisture_wb / water_kg_per_m3);
}

} // namespace coldbag
