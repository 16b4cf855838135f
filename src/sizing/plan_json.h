// A plan as JSON: keys in docs/formats/size-json.md.
#pragma once

#include "sizing/beside_plan.h"

#include <string>
#include <vector>

namespace coldbag {

/// One object, every figure in SI or minutes, closed by a newline.
[[nodiscard]] std::string plan_json(const PlanReport& report, const BesidePlan& beside = {});
/// A sweep: what varies, a row each, the best.
[[nodiscard]] std::string sweep_json(const std::vector<std::string>& heads, const std::vector<SweepRow>& rows,
                                     const BestRow& best);

} // namespace coldbag
