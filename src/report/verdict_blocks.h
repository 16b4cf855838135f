// The verdict of a judged run, why, and what to do about it.
#pragma once

#include "report/block.h"
#include "report/words.h"

namespace coldbag {

/// PASS, FAIL, UNPROVEN, or how a run still going stands so far; never without what it covers.
[[nodiscard]] VerdictSentence verdict_sentence(const RunReport& report, const Words& words);
/// What stood against a pass, the gravest first; empty where nothing did.
[[nodiscard]] Blocks why_blocks(const RunReport& report, const Words& words);
/// What to do next, and why more hold would not do; empty where there is nothing to do.
[[nodiscard]] Blocks next_blocks(const RunReport& report, const Words& words);

} // namespace coldbag
