// One kind of bag in a load, fitted to its probes, and how each of these warmed beside what was described.
#pragma once

#include "heatup/fit.h"
#include "heatup/learned.h"
#include "run/load_basis.h"
#include "run/load_steam.h"
#include "run/run_report.h"

#include <optional>
#include <vector>

namespace coldbag {

/// A kind in the load, its variants as the load's lines give mass and moisture, its probes.
struct LoadKind {
  const Bag* bag = nullptr;
  int count = 0;
  std::vector<DescribedBag> variants; ///< at least one
  std::vector<std::size_t> probes;    ///< of the basis
};

struct KindHeating {
  BagHeating told;
  Fit fit;                             ///< refused where told.not_fitted says so
  FitPrior prior;                      ///< the tables', or what earlier runs showed
  const LearnedBag* learned = nullptr; ///< earlier runs of this kind
  std::vector<double> speeds_ln;       ///< of the probed bags beside their kind; empty where not fitted
};

/// Fits one kind. `spread` is what is known of how bags differ before this run.
[[nodiscard]] KindHeating kind_heating(const LoadBasis& basis, const LoadSteam& steam, const LoadKind& kind,
                                       const SpeedSpread& spread);

} // namespace coldbag
