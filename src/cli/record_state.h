// Statements about older entries: reviews, dispositions, deviations, outcomes and their like.
#pragma once

#include "cli/option_group.h"
#include "cli/record_work.h"
#include "records/entry.h"
#include "records/fields.h"
#include "run/run_report.h"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace coldbag {

/// The kind of entry that a word on the command line makes ("decide"); nothing for other words.
[[nodiscard]] std::optional<EntryKind> statement_named(std::string_view work);
/// All such words, in the order in which help tells them.
[[nodiscard]] std::vector<std::string> statement_words();

/// An option for each field of a kind: "--looked-at".
void add_field_options(OptionGroup& group, const TableFiles& tables, const Words& words, EntryKind kind);

/// The fields of a kind that were given as options. Throws UserError (usage) with every fault.
[[nodiscard]] FieldTexts given_fields(const RecordWork& work, EntryKind kind);

/// Adds a statement for each operand, or one where it is about nothing; with the deviation it opens.
int state(const RecordWork& work, EntryKind kind);

/// The deviations that events of a run are, to be added with it.
[[nodiscard]] std::vector<NewEntry> deviations_of(const RunReport& report, const Entry& run,
                                                  const Words& words);

} // namespace coldbag
