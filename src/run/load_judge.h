// The bags of a load that had no probe: how each kind heats, and what its slowest bag got.
#pragma once

#include "run/load_basis.h"
#include "run/run_report.h"

#include <optional>
#include <vector>

namespace coldbag {

struct LoadJudgement {
  std::vector<BagHeating> heating;
  /// Requirements of heat at the slowest bag without a probe; empty where every bag has one.
  std::vector<CriterionResult> criteria;
  std::optional<UnprobedBag> slowest; ///< the kind that got least of what decides
  std::optional<SlowestCurve> slowest_curve;
  /// Why the load as a whole cannot be judged: nobody described it, no steam probe, a kind without mass. Then
  /// the verdict is about the probed bags alone.
  std::optional<Said> not_judged;
};

/// Fits every kind of bag to its probes, draws from it the slowest bag without a probe, heats that in the
/// steam as it was (lowered by k u for its bound) and measures it as a probe would. Rules:
/// docs/mathematics/heating.md; guarded by tests/run/load_judge_test.cpp.
[[nodiscard]] LoadJudgement judge_load(const LoadBasis& basis);

} // namespace coldbag
