// coldbag record export: a run out of its ledger, as a folder or a zip.
#pragma once

#include "cli/record_work.h"

namespace coldbag {

/// Throws UserError; the exit status else.
[[nodiscard]] int record_export(const RecordWork& work);

} // namespace coldbag
