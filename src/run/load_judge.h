// The bags of a load that had no probe: how each kind heats, and what its slowest bag got.
#pragma once

#include "probes/thinned.h"
#include "run/criteria.h"
#include "run/probe_meter.h"
#include "run/run_input.h"
#include "run/run_report.h"

#include <optional>
#include <vector>

namespace coldbag {

/// What the probes of a run showed, as the load is judged from it.
struct LoadBasis {
  const RunInput& input;
  const Treatment& treatment;
  const std::vector<Measured>& probes;
  std::vector<const ThinTrace*> thin;  ///< of each of them
  const ThinTrace* pressure = nullptr; ///< of the vessel, where the log has one
  PressureBasis pressure_basis = PressureBasis::none;
  ProbeMeterRule rule; ///< by which a bag's probe is measured
  Surroundings around;
  std::optional<double> steam_off_at_s;
};

struct LoadJudgement {
  std::vector<BagHeating> heating;
  /// Requirements of heat at the slowest bag without a probe; empty where every bag has one.
  std::vector<CriterionResult> criteria;
  std::optional<UnprobedBag> slowest; ///< the kind that got least of what decides
  /// Why the load as a whole cannot be judged: nobody described it, no steam probe, a kind without mass. Then
  /// the verdict is about the probed bags alone.
  std::optional<Said> not_judged;
};

/// Fits every kind of bag to its probes, draws from it the slowest bag without a probe, heats that in the
/// steam as it was (lowered by k u for its bound) and measures it as a probe would. Rules:
/// docs/mathematics/heating.md; guarded by tests/run/load_judge_test.cpp.
[[nodiscard]] LoadJudgement judge_load(const LoadBasis& basis);

} // namespace coldbag
