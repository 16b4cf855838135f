// Which runs of a ledger a question is about, by the options that say so.
#pragma once

#include "cli/record_work.h"
#include "records/charted_run.h"

#include <vector>

namespace coldbag {

/// Those that --run, --vessel, --treatment, --bag, --verdict, --from and --before leave. Throws UserError
/// (usage).
[[nodiscard]] std::vector<ChartedRun> chosen_runs(const RecordWork& work, std::vector<ChartedRun> runs);

} // namespace coldbag
