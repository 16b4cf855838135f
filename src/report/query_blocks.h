// What a ledger answers when asked what is open, due, kept, or what came of a lot, as blocks.
#pragma once

#include "records/query.h"
#include "report/block.h"
#include "report/words.h"

#include <string>
#include <vector>

namespace coldbag {

/// How people call a field of record-fields.csv.
[[nodiscard]] std::string field_label(const std::string& field, const Words& words);

/// The fields of a statement, by their labels; choices in words.
[[nodiscard]] Blocks field_blocks(const std::vector<RecordField>& fields, const FieldTexts& texts,
                                  const Words& words);
/// One line with the labels of the fields that nobody filled in; nothing where there is none.
[[nodiscard]] Blocks empty_field_blocks(const std::vector<RecordField>& fields, const FieldTexts& texts,
                                        const Words& words);

/// What was stated about a run or about what was stated about it, oldest first.
[[nodiscard]] Blocks statements_about_blocks(const History& history, std::uint64_t run, const Words& words);

[[nodiscard]] Blocks open_blocks(const std::vector<OpenDeviation>& open, const Words& words);

/// Reviews that are missing and checks that are overdue.
[[nodiscard]] Blocks due_blocks(const std::vector<MissingReview>& reviews,
                                const std::vector<LastCheck>& checks, int working_days, const Words& words);

[[nodiscard]] Blocks keep_blocks(const std::vector<KeepUntil>& kept, const RecordRule& rule,
                                 const Words& words);

[[nodiscard]] Blocks trail_blocks(const std::vector<LotTrail>& trails, const std::string& name,
                                  const Words& words);

} // namespace coldbag
