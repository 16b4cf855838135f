// What changed from run to run, as blocks: a table of each group's figures, and a sentence for what stands
// out.
#pragma once

#include "records/trend.h"
#include "report/block.h"
#include "report/words.h"

#include <string>

namespace coldbag {

/// Every group, then runs that are alike, then what such a chart cannot tell.
[[nodiscard]] Blocks trend_blocks(const Trends& trends, const TrendFigures& figures, const Words& words);

/// "time from steam on to the plateau".
[[nodiscard]] std::string trend_figure_name(TrendOf of, const Words& words);

/// "92 min", "x8.1", "121.3 C".
[[nodiscard]] std::string trend_value_text(TrendOf of, double value, UnitSystem units);

/// Of a difference between two values.
[[nodiscard]] std::string trend_step_text(TrendOf of, double step, UnitSystem units);

/// "autoclave, brick, sterilize".
[[nodiscard]] std::string trend_group_text(const TrendGroup& group, const Words& words);

/// The day on the wall where it happened: "2026-03-03".
[[nodiscard]] std::string day_text(const ClockedInstant& at);

} // namespace coldbag
