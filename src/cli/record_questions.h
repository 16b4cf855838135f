// What a ledger is asked over the years: what is open or due, until when it is kept, what came of a lot.
#pragma once

#include "cli/record_work.h"
#include "records/query.h"

#include <cstdint>
#include <optional>
#include <set>

namespace coldbag {

/// The rule that --rule names; else the longest to keep, and the shortest to review. Throws UserError
/// (usage).
[[nodiscard]] RecordRule rule_asked(const RecordWork& work, bool is_keep);

/// Deviations that nobody closed.
int list_open(const RecordWork& work);
/// Reviews that are missing and probe checks that are overdue.
int due(const RecordWork& work);
/// Until when each record is kept.
int keep(const RecordWork& work);
/// Numbers of the runs that --lot and --reviewed leave; nothing where neither was given. Throws UserError.
[[nodiscard]] std::optional<std::set<std::uint64_t>> runs_by_history(const RecordWork& work,
                                                                     const Store& store);
/// Every run that a lot, a room or a name is on, both ways.
int trace(const RecordWork& work);

} // namespace coldbag
