// What would make a bag warm as late, or as soon, as its probe told.
#pragma once

#include "heatup/bag_body.h"

#include <optional>

namespace coldbag {

/// When the core of a bag came to a temperature, and in what steam.
struct SeenArrival {
  double core_degC = 0;
  double at_s = 0; ///< of the steam's time
  double start_degC = 20;
};

/// Each alone would explain it; none where no value of it would.
struct LagExplanation {
  std::optional<double> mass_kg; ///< in the same skin: packed tighter, or looser
  std::optional<double> moisture_wb;
  std::optional<double> probe_off_m; ///< from the middle towards the nearest face
  bool operator==(const LagExplanation&) const = default;
};

/// Seeks the mass (half to twice the described, as far as solids and water allow), the moisture (5 to 85 %)
/// and the place of the probe that bring the model to that arrival, the rest as described. Guarded by
/// tests/heatup/explain_test.cpp.
[[nodiscard]] LagExplanation what_would_explain(const Bag& bag, const DescribedBag& described,
                                                const Multipliers& multipliers, const SeenArrival& seen,
                                                const SteamTrace& steam, const HeatingTables& tables);

} // namespace coldbag
