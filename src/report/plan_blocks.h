// A plan as blocks, and its curves as CSV.
#pragma once

#include "report/block.h"
#include "report/words.h"
#include "sizing/beside_plan.h"
#include "sizing/plan_report.h"

#include <string>

namespace coldbag {

/// The range first, then times, heat and steam, what to watch, what was assumed. `full` adds the balance and
/// how it was computed.
[[nodiscard]] Blocks plan_blocks(const PlanReport& report, const Words& words, bool full);

/// The same in full for paper and page: a title over it, the chart behind the times, what was asked beside
/// it, and a line to sign.
[[nodiscard]] Blocks plan_sheet_blocks(const PlanReport& report, const BesidePlan& beside,
                                       const Words& words);

/// What a step of the plan is called: "vessel at 100.0 C".
[[nodiscard]] std::string step_text(const PlanReport& report, const PlanStep& step, const Words& words);

/// Minute by minute as it was reckoned: vessel and slowest core, likely and slow, steam taken and vented.
[[nodiscard]] std::string plan_csv(const PlanReport& report);

} // namespace coldbag
