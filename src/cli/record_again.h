// Judging kept runs again: under other tables, by another treatment, with later checks of a probe. A report,
// never an edit.
#pragma once

#include "cli/record_work.h"

namespace coldbag {

/// Every kept run again, on all cores; on PostgreSQL several machines share the work (--share).
int judge_again(const RecordWork& work);

/// The runs that a probe was in since its last good check, with the verdict each would have now.
int affected(const RecordWork& work);

} // namespace coldbag
