// What stands beside a plan as text: many plans, what a boiler manages, how a run came out.
#pragma once

#include "report/words.h"
#include "sizing/beside_plan.h"

#include <string>
#include <vector>

namespace coldbag {

/// `heads`: over the labels. The best row is marked where limits or several rows ask for it.
[[nodiscard]] std::string sweep_text(const std::vector<std::string>& heads, const std::vector<SweepRow>& rows,
                                     const BestRow& best, const Words& words);

/// What was asked beside a plan: whether the boiler manages, how a run came out.
[[nodiscard]] std::string beside_text(const BesidePlan& beside, const PlanReport& report, const Words& words);

} // namespace coldbag
