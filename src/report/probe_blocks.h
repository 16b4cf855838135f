// One probe of a run with every figure of it.
#pragma once

#include "report/block.h"
#include "report/words.h"

namespace coldbag {

/// One probe under its own heading (level 3): F and its bands, holds, times, correction, uncertainty, faults,
/// log reductions. `joins_over`: organisms that have too many of them for a figure stand in one sentence.
[[nodiscard]] Blocks probe_blocks(const RunReport& report, const ProbeResult& probe, const Words& words,
                                  bool joins_over = false);

} // namespace coldbag
