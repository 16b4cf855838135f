// What a ledger is asked over the years: what is open or due, until when it is kept, what came of a lot.
#pragma once

#include "cli/record_work.h"

namespace coldbag {

/// Deviations that nobody closed.
int list_open(const RecordWork& work);
/// Reviews that are missing and probe checks that are overdue.
int due(const RecordWork& work);
/// Until when each record is kept.
int keep(const RecordWork& work);
/// Every run that a lot, a room or a name is on, both ways.
int trace(const RecordWork& work);

} // namespace coldbag
