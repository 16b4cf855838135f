// coldbag record backup and copy: a ledger as it is, in another place.
#pragma once

#include "cli/record_work.h"

namespace coldbag {

/// Into a new file, whole or not at all, while others may add to the ledger. Status 1 where it is not whole.
[[nodiscard]] int record_backup(const RecordWork& work);

/// Into another ledger, new or begun before. Status 1 where it is not whole.
[[nodiscard]] int record_copy(const RecordWork& work);

} // namespace coldbag
