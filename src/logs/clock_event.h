// Something a log's clock did that is no plain passing of time.
#pragma once

#include "errors/user_error.h"

#include <cstdint>
#include <string>

namespace coldbag {

struct ClockEvent {
  std::string kind;  ///< key of words: "clock_set_back", "clock_set_forward", "clock_reset", "summer_time",
                     ///< "interval_changed", "interval_jitter", "rows_reordered", "newest_first"
  Place at;          ///< of the row behind it
  double time_s = 0; ///< of that row, since the start of the log
  double jump_s = 0; ///< how far the clock was set, the hour of summer time, or the change of the interval
  std::int64_t rows = 0; ///< rows it concerns, where that can be told
  std::string effect;    ///< "told", "put_in_order", "stretch_not_credited"
  bool operator==(const ClockEvent&) const = default;
};

} // namespace coldbag
