// coldbag record list --csv: the runs of a ledger as a table.
#pragma once

#include "cli/record_work.h"

namespace coldbag {

/// Of the runs that the filter leaves. Throws UserError; the exit status else.
[[nodiscard]] int list_csv(const RecordWork& work, const RowFilter& filter);

} // namespace coldbag
