// The readings behind a chart, for who points at it.
#pragma once

#include "report/chart.h"
#include "report/words.h"

#include <string>

namespace coldbag {

/// Of each width of the report's curves the highest reading of each probe in the site's unit, and F so far of
/// the probes in bags, with the time as a text; where the plot stands in the chart of each size. `page_html`
/// says its form. Empty where nothing was read.
[[nodiscard]] std::string readings_json(const RunReport& report, const Words& words, const ChartSize& size,
                                        const ChartSize& narrow_size);

} // namespace coldbag
