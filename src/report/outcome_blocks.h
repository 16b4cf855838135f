// What became of the bags, as blocks: run by run, by what else may matter, and beside heat.
#pragma once

#include "records/outcomes.h"
#include "report/block.h"
#include "report/words.h"

namespace coldbag {

[[nodiscard]] Blocks outcome_blocks(const Outcomes& outcomes, const TrendFigures& figures,
                                    const Words& words);

/// What a strip says, beside what was foretold of it.
[[nodiscard]] Blocks strip_blocks(const StripResult& strip, const Words& words);

} // namespace coldbag
