// coldbag record outcomes: what became of the bags, beside the heat of their runs.
#pragma once

#include "cli/record_work.h"

namespace coldbag {

[[nodiscard]] int record_outcomes(const RecordWork& work);

} // namespace coldbag
