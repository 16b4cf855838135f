// The slowest bag of a kind that had no probe: what it got, and what would have been enough for it.
#pragma once

#include "run/kind_heating.h"

#include <optional>
#include <vector>

namespace coldbag {

struct UnprobedJudgement {
  UnprobedBag bag;
  std::vector<CriterionResult> criteria; ///< requirements of heat, at that bag
  SlowestCurve curve;
};

/// How bags of one kind differ: before this run, and with it.
struct Spreads {
  SpeedSpread before;
  SpeedSpread with_run;
};

/// Draws the slowest bag from what the kind's probes, a proven pattern or the tables say, heats it in the
/// steam as it was (lowered by k u for its bound) and measures it as a probe would. None where every bag has
/// a probe. A bag that nobody measured never makes a FAIL. Rules: docs/mathematics/heating.md; guarded by
/// tests/run/load_judge_test.cpp.
[[nodiscard]] std::optional<UnprobedJudgement> judge_unprobed(const LoadBasis& basis, const LoadSteam& steam,
                                                              const LoadKind& kind,
                                                              const KindHeating& heating,
                                                              const Spreads& spreads);

} // namespace coldbag
