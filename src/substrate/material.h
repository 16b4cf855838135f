// What a substrate is made of, as substrates.csv describes it.
#pragma once

#include "tables/edition.h"

#include <string>
#include <string_view>
#include <vector>

namespace coldbag {

/// One row of substrates.csv. Moisture is on wet basis (water / total mass), 0 to 1.
struct Material {
  std::string key;
  std::string words; ///< what growers write for it, joined by "|"
  std::string name;
  double solid_kg_per_m3 = 0; ///< of the solid itself, without pores
  /// Heat capacity of the dry matter at 0 C and its growth by kelvin. Wood Handbook (FPL-GTR-190, 2010),
  /// ch. 4: 0.1031 + 0.003867 T kJ/kgK.
  double dry_cp_J_per_kgK = 0;
  double dry_cp_slope_J_per_kgK2 = 0;
  /// Base conductivity = S (k_dry + k_water M) + k_still, S = dry bulk density / 1000 kg/m3, M = dry-basis
  /// moisture in %. MacLean 1941, green wood, from memory.
  double k_dry_W_per_mK = 0;
  double k_water_W_per_mK = 0;
  double k_still_W_per_mK = 0;
  double lowest_moisture_wb = 0; ///< the figures hold from here
  double highest_moisture_wb = 0;
  double lowest_dry_kg_per_m3 = 0; ///< dry bulk density
  double highest_dry_kg_per_m3 = 0;
  double usual_moisture_wb = 0; ///< taken where nobody said (assumed)
  double usual_kg_per_m3 = 0;   ///< of the filled bag, moist (common practice, no source)
  std::string source;
  std::string basis;
  std::string note;
  bool operator==(const Material&) const = default;
};

/// Every row of a table, in its order. Throws UserError with every fault: those of Table::read, and a range
/// that runs backwards.
[[nodiscard]] std::vector<Material> read_materials(std::string_view source_name, std::string_view csv);
/// Those of substrates.csv.
[[nodiscard]] std::vector<Material> read_materials(const TableFiles& tables);

/// A substrate as a person wrote it, and how it was understood.
struct KnownMaterial {
  const Material* material = nullptr; ///< never null
  bool is_assumed = false;            ///< no word of it was known: sawdust was taken
};

/// The material whose key or one of whose words stands in the text ("oak sawdust, 10 % bran"); where several
/// do, the one named first. Sawdust where none does. `materials` must hold "sawdust" (checked).
[[nodiscard]] KnownMaterial material_of(const std::vector<Material>& materials, std::string_view text);

} // namespace coldbag
