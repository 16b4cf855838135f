// What a report says of its logs and its site, judged or not.
#pragma once

#include "report/block.h"
#include "report/words.h"

namespace coldbag {

/// Each log: rows, times, gaps, and every kind of cell that was not read.
[[nodiscard]] Blocks log_blocks(const RunReport& report, const Words& words);

/// Altitude and boiling point; empty where they are not known.
[[nodiscard]] Blocks site_blocks(const RunReport& report, const Words& words);

} // namespace coldbag
