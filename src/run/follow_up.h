// The days on which contaminated bags are counted.
#pragma once

#include "tables/edition.h"

#include <vector>

namespace coldbag {

/// follow-up-days.csv: days after inoculation, rising. Throws UserError.
[[nodiscard]] std::vector<int> read_follow_up_days(const TableFiles& tables);

} // namespace coldbag
