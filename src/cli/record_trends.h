// coldbag record trends: what changed from run to run.
#pragma once

#include "cli/record_work.h"

namespace coldbag {

[[nodiscard]] int record_trends(const RecordWork& work);

} // namespace coldbag
