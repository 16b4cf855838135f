// A run sheet with what the plan expects written beside its lines.
#pragma once

#include "sizing/plan_report.h"
#include "sizing/run_sheet.h"

namespace coldbag {

/// The first reading at or after each step of the plan says so: likely, and at the latest. Bags are the
/// plan's.
[[nodiscard]] RunSheet filled_sheet(RunSheet sheet, const PlanReport& report);

} // namespace coldbag
