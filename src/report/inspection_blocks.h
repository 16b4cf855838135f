// The sheet of a run that is printed, signed and filed: what an inspector follows to the raw readings.
#pragma once

#include "report/block.h"
#include "report/words.h"

namespace coldbag {

/// Verdict and chart first; then probes, events, load, what was read and what was not; then what is written
/// by hand (disposition, corrective action, signatures with their meaning); last every figure and how it was
/// computed. It rests on the report alone, holds each number of it that is no curve, and names the hash of
/// its JSON. A heat verdict says nothing of what becomes of the bags: that is ticked by a person.
[[nodiscard]] Blocks inspection_blocks(const RunReport& report, const Words& words);

} // namespace coldbag
