// What a run warns of, and what happened in it.
#pragma once

#include "report/block.h"
#include "report/words.h"

namespace coldbag {

/// Film over its limit: it stands before any verdict. Empty where there is nothing to say.
[[nodiscard]] Blocks film_blocks(const RunReport& report, const Words& words);
/// The other cautions under their heading, dangers first; empty where there are none.
[[nodiscard]] Blocks caution_blocks(const RunReport& report, const Words& words);
/// What was amiss with the probes, under its heading; empty where nothing was.
[[nodiscard]] Blocks fault_blocks(const RunReport& report, const Words& words);
/// Events, stated or seen in the log, under their heading; empty where there are none.
[[nodiscard]] Blocks event_blocks(const RunReport& report, const Words& words);

} // namespace coldbag
