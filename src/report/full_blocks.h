// What --full adds below the one screen, part by part.
#pragma once

#include "report/block.h"
#include "report/words.h"

namespace coldbag {

/// Each criterion under their heading: required, delivered, bound, evidence, basis. For a judged run.
[[nodiscard]] Blocks criteria_blocks(const RunReport& report, const Words& words);
/// The same side by side for who sees figures at a glance, under their own heading; and nothing else.
[[nodiscard]] Blocks criteria_table_blocks(const RunReport& report, const Words& words);
/// By what it was judged, how much more hold it would take, and where steam went off. For a judged run.
[[nodiscard]] Blocks judgement_blocks(const RunReport& report, const Words& words);
/// What each treatment would still need, where none was chosen; each has its own heading (level 3).
[[nodiscard]] Blocks would_need_blocks(const RunReport& report, const Words& words);
/// Every value of the cautions; empty where there is none.
[[nodiscard]] Blocks caution_detail_blocks(const RunReport& report, const Words& words);
/// What the run file says of the run itself: who, lots, notes; empty where it says nothing.
[[nodiscard]] Blocks run_file_blocks(const RunReport& report, const Words& words);
/// Survivors and bad bags to expect, where a count was asked about; else empty.
[[nodiscard]] Blocks survival_blocks(const RunReport& report, const Words& words);
/// How it was computed: by which version, from which bytes, with which tables.
[[nodiscard]] Blocks computed_blocks(const RunReport& report, const Words& words);

/// All of them but the table, with what was learned of the bags, in the order of the screen.
[[nodiscard]] Blocks full_blocks(const RunReport& report, const Words& words);

/// Those of them that a record still needs that has told criteria and cautions: what many organisms have in
/// common stands in one sentence.
[[nodiscard]] Blocks record_figures(const RunReport& report, const Words& words);

} // namespace coldbag
