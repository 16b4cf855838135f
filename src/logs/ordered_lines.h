// A log's lines in the order of their times, in bounded memory.
#pragma once

#include "logs/lines.h"
#include "logs/time_line.h"

#include <functional>

namespace coldbag {

/// Calls `take` for every line from `first_line` on: rows in the order of their times, rows of one time in
/// the order of the log, lines without a time as they come. A log with the newest row first is read several
/// times where it is long, and a part of it kept each time.
void for_each_line_in_order(const Source& source, const TimeLine& time_line, int first_line,
                            const std::function<void(const Line&)>& take);

} // namespace coldbag
