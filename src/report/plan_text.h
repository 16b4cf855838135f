// A plan as text for a screen or the vessel's wall, and its curves as CSV.
#pragma once

#include "report/words.h"
#include "sizing/plan_report.h"

#include <string>

namespace coldbag {

[[nodiscard]] std::string plan_text(const PlanReport& report, const Words& words, bool full);

/// Minute by minute as it was reckoned: vessel and slowest core, likely and slow, steam taken and vented.
[[nodiscard]] std::string plan_csv(const PlanReport& report);

} // namespace coldbag
