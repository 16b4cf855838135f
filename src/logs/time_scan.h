// What only the whole log can settle of its times: day first or month first, and whether bare clocks are
// times of day.
#pragma once

#include "logs/dialect.h"
#include "logs/source.h"
#include "logs/time_column.h"

#include <span>

namespace coldbag {

/// Where the cells of time stand.
struct TimePlace {
  int time = -1;
  int date = -1; ///< -1 where one cell holds all
  Place column;  ///< of the header's cell, with the column's name
};

/// Reads the log as far as it must and fills in the rule; throws UserError where the log leaves it open,
/// naming the option that settles it. `log` says where rows begin and how they are cut; `preamble` is what
/// stands before the header.
void settle_time(const Source& source, const Understanding& log, const TimePlace& where,
                 std::span<const SampleLine> preamble, const LogOptions& options, TimeFound& found);

} // namespace coldbag
