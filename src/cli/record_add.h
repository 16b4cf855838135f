// Judging runs and keeping them.
#pragma once

#include "cli/record_work.h"

namespace coldbag {

/// Judges each run file as `check` does and keeps it with its files, with the deviations that its events are.
int add_runs(const RecordWork& work);

} // namespace coldbag
