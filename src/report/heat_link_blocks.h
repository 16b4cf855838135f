// Bad bags beside the heat of their runs, in words: the odds, then what speaks for and against.
#pragma once

#include "records/heat_link.h"
#include "report/block.h"
#include "report/words.h"

#include <string>

namespace coldbag {

[[nodiscard]] Blocks heat_link_blocks(const HeatLink& link, const TrendFigures& figures, const Words& words);

/// "5.0 (1.0 to 13.9)": per cent with the exact 95 % interval.
[[nodiscard]] std::string percent_with_interval(const Share& share, const Words& words);

} // namespace coldbag
