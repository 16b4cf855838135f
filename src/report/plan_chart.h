// The chart of a plan: vessel and slowest core over time, likely and slow.
#pragma once

#include "report/chart_file.h"
#include "report/words.h"
#include "sizing/plan_report.h"

#include <string>

namespace coldbag {

/// Draws the chart into the box from 0, 0 to its size: the curve of the plan with setpoint and steps, by the
/// clock where steam on is known, else by hours from it. Labels neither overlap nor leave the box.
void draw_plan_chart(_cairo* cairo, const PlanReport& report, const Words& words, const ChartSize& size);

/// The chart as SVG to stand within a page.
[[nodiscard]] std::string plan_chart_svg(const PlanReport& report, const Words& words, const ChartSize& size);

/// Whether there is anything to draw.
[[nodiscard]] bool has_chart(const PlanReport& report);

} // namespace coldbag
