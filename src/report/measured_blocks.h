// What the probes of a judged run measured.
#pragma once

#include "report/block.h"
#include "report/words.h"

namespace coldbag {

/// The table of the probes, coldest bag first; the hold in the steam beside that in the coldest bag; the
/// slowest bag without a probe; what of the holds nobody saw.
[[nodiscard]] Blocks measured_blocks(const RunReport& report, const Words& words);

} // namespace coldbag
