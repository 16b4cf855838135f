// Making a ledger, looking at it, and looking whether it is whole.
#pragma once

#include "cli/record_work.h"

namespace coldbag {

/// A new key and a new ledger that it signs.
int start_ledger(const RecordWork& work);
/// A new key follows the one of --key.
int change_key(const RecordWork& work);
int list_ledger(const RecordWork& work);
/// One entry in full; of a run also what was stated since.
int show_entry(const RecordWork& work);
/// Status 1 where the ledger is not whole.
int verify(const RecordWork& work);
int seal(const RecordWork& work);

} // namespace coldbag
