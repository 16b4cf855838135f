// On what a verdict rests, and what it cannot tell.
#pragma once

#include "report/block.h"
#include "report/words.h"

namespace coldbag {

/// Probes nobody described, how far the verdict reaches, what nobody answered, what no log can show. No
/// heading stands over them.
[[nodiscard]] Blocks notes_blocks(const RunReport& report, const Words& words);

} // namespace coldbag
