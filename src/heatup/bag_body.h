// A described bag as the model sees it, and what was assumed on the way.
#pragma once

#include "farm/bag.h"
#include "heatup/bag_model.h"
#include "heatup/heating_figures.h"
#include "quantity/said.h"
#include "substrate/material.h"

#include <optional>
#include <vector>

namespace coldbag {

/// All that heating bags rests on, read once.
struct HeatingTables {
  HeatingFigures figures;
  std::vector<Material> materials;
  VapourTable vapour;
  std::vector<Edition> editions; ///< of the tables these were read from
};
[[nodiscard]] HeatingTables read_heating_tables(const TableFiles& tables);

struct DescribedBag {
  BagBody body;
  Packing packing;
  std::string material; ///< key in substrates.csv
  /// What figures learned of its kind hold for: form, substrate, closure and neighbours, in words.
  std::string description;
  /// What nobody said ("lag_assumed_…") and what lies outside the range of its figures ("lag_stretched_…").
  std::vector<Said> assumptions;
};

/// A bag of a kind, its mass and moisture perhaps its own. Throws UserError with every fault: no mass, a bag
/// denser than its solids and water allow or less than half as dense as the lightest known, moisture that
/// leaves nothing dry, loose substrate (steam passes through it; the model is for bags).
[[nodiscard]] DescribedBag describe_bag(const Bag& bag, std::optional<double> mass_kg,
                                        std::optional<double> moisture_wb, const HeatingTables& tables);

/// The same bag with another mass, same shape and density: every side by the cube root (a slab: the same
/// thickness).
[[nodiscard]] BagBody heavier(const BagBody& body, double mass_kg);

} // namespace coldbag
