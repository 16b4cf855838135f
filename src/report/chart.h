// The chart of a run: every probe over time, the coldest bag standing out, and what it earned under it.
#pragma once

#include "report/chart_file.h"
#include "report/words.h"

#include <string>

namespace coldbag {

/// Draws the chart into the box from 0, 0 to its size: temperatures with setpoint, hold that counted, gaps,
/// faults, events and the slowest bag without a probe; F under it with what is required. It reads
/// `report.curves`, and works nothing out but where things stand. Labels neither overlap nor leave the box.
void draw_chart(_cairo* cairo, const RunReport& report, const Words& words, const ChartSize& size);

/// The chart alone as a file with the run's name over it; PNG at 192 to the inch. The same report gives the
/// same bytes.
[[nodiscard]] std::string chart_file(const RunReport& report, const Words& words, ChartFile kind,
                                     const ChartSize& size);

/// The chart as SVG to stand within a page, without the run's name.
[[nodiscard]] std::string chart_svg(const RunReport& report, const Words& words, const ChartSize& size);

/// Where the time runs in the chart, in its points: for who points at it.
struct ChartPlot {
  double left = 0, right = 0, top = 0, bottom = 0;
  double from_s = 0, to_s = 0;
};
[[nodiscard]] ChartPlot chart_plot(const RunReport& report, const Words& words, const ChartSize& size);

/// As the site reads it; without rounding.
[[nodiscard]] double shown_degrees(double degC, UnitSystem units);

/// Whether there is anything to draw.
[[nodiscard]] bool has_chart(const RunReport& report);

} // namespace coldbag
