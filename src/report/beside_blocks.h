// What was asked beside a plan.
#pragma once

#include "report/block.h"
#include "report/words.h"
#include "sizing/beside_plan.h"

namespace coldbag {

/// How the bags fit on the shelves, whether the boiler manages, how a run came out, each under its heading;
/// empty where nothing was asked.
[[nodiscard]] Blocks beside_blocks(const BesidePlan& beside, const PlanReport& report, const Words& words);

} // namespace coldbag
