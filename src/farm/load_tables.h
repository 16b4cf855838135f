// The [[load.bags]] tables of a run file, and what load lines must keep to wherever they are written.
#pragma once

#include "farm/keyed.h"
#include "farm/load.h"

namespace coldbag {

/// Most bags one line may stand for; more is a slip of the pen.
inline constexpr double most_bags_a_line = 100000;
inline constexpr Bounds bag_count_bounds{1.0, most_bags_a_line, true, "a whole number from 1 to 100000"};

/// Reads [[bags]] of the table [load]; faults go to the table's document.
[[nodiscard]] Load read_load_tables(KeyedTable& load);

} // namespace coldbag
