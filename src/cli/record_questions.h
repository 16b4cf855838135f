// What a ledger is asked over the years: what is open or due, until when it is kept, what came of a lot.
#pragma once

#include "cli/record_work.h"
#include "records/query.h"

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
/// Every run that a lot, a room or a name is on, both ways.
int trace(const RecordWork& work);

} // namespace coldbag
