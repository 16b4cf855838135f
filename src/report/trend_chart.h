// Charts of single runs under each other: each figure with its mean and limits, and its steps under it.
#pragma once

#include "records/trend.h"
#include "report/chart_file.h"
#include "report/words.h"

#include <string>

namespace coldbag {

/// Room for every figure of every group, one under the other, so wide.
[[nodiscard]] ChartSize trend_chart_size(const Trends& trends, double width_pt);

/// Draws the charts into the box from 0, 0 to its size, in order of the runs: single values with their usual
/// range, the moving mean with its limits, where a drift began, values outside; steps from run to run under
/// it.
void draw_trend_chart(_cairo* cairo, const Trends& trends, const Words& words, const ChartSize& size);

/// The charts as an SVG on white; "" where there is nothing to draw.
[[nodiscard]] std::string trend_chart_svg(const Trends& trends, const Words& words);

} // namespace coldbag
