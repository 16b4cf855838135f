// A plan beside the run that followed it: what came otherwise, and what alone would explain it.
#pragma once

#include "sizing/plan_report.h"

#include <optional>
#include <string>
#include <vector>

namespace coldbag {

/// What a log showed of a run, from steam-on.
struct SeenRun {
  std::string name;
  std::optional<double> come_up_s; ///< vessel within near_hold_K of its hold
  std::optional<double> hot_s;     ///< coldest probed core at the setpoint
  std::optional<double> steam_kg;  ///< metered
};

/// A vessel this near its hold counts as come up, in the log and in the plan alike.
inline constexpr double near_hold_K = 2;

struct PlanComparison {
  SeenRun seen;
  Range come_up_s;     ///< planned, to within near_hold_K
  Range hot_s;         ///< planned, slowest bag
  double steam_kg = 0; ///< planned, likely
  /// "size_as_planned", "size_why_…": each would explain the come-up alone; what is left of the cores.
  std::vector<Said> why;
};

/// Seen within the planned range is as planned. Else the supply, and the walls, are sought that would have
/// brought the vessel up as it came; the time the core took after that is held against the plan's.
[[nodiscard]] PlanComparison compare_plan(const PlanReport& report, const SeenRun& seen,
                                          const VapourTable& vapour);

} // namespace coldbag
