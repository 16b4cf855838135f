// A plan as blocks, and its curves as CSV.
#pragma once

#include "report/block.h"
#include "report/words.h"
#include "sizing/plan_report.h"

#include <string>

namespace coldbag {

/// The range first, then times, heat and steam, what to watch, what was assumed. `full` adds the balance and
/// how it was computed.
[[nodiscard]] Blocks plan_blocks(const PlanReport& report, const Words& words, bool full);

/// Minute by minute as it was reckoned: vessel and slowest core, likely and slow, steam taken and vented.
[[nodiscard]] std::string plan_csv(const PlanReport& report);

} // namespace coldbag
