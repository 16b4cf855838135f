// coldbag record import: runs out of another ledger, or out of an export.
#pragma once

#include "cli/record_work.h"

namespace coldbag {

/// Status 1 where the other ledger is not whole: nothing is imported then.
[[nodiscard]] int record_import(const RecordWork& work);

} // namespace coldbag
