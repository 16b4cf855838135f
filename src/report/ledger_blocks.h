// What a ledger holds, and whether it holds, as blocks.
#pragma once

#include "records/entry.h"
#include "records/verify.h"
#include "report/block.h"
#include "report/words.h"

#include <string>
#include <vector>

namespace coldbag {

/// The verdict of a kept run in words, by its word of report_words; "" where nothing was judged.
[[nodiscard]] std::string kept_verdict_text(const std::string& verdict, const Words& words);

/// One line an entry: number, when, kind, run, vessel, treatment, verdict.
[[nodiscard]] Blocks ledger_list_blocks(const std::vector<ListedRow>& rows, const Words& words);

/// An entry in full: when, who, what it refers to, files with their hashes.
[[nodiscard]] Blocks entry_blocks(const LedgerRow& row, const Entry& entry, const Words& words);

/// What a check of a ledger found, and what it cannot know.
[[nodiscard]] Blocks ledger_check_blocks(const LedgerCheck& check, bool has_seal, bool recomputed,
                                         const Words& words);

} // namespace coldbag
