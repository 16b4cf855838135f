// From the times as written, row by row, to times that rise: order of rows, a clock that was set, changes of
// summer time, doubled rows. Nothing here earns credit: where a clock jumped, a break is put.
#pragma once

#include "logs/clock_event.h"
#include "logs/row_clock.h"

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace coldbag {

/// A row that comes this many rows late is still put in its place; one that comes later is not used.
inline constexpr std::size_t most_rows_late = 32; // assumed

/// What became of a line that is no row in its place; time is never as small.
enum class RowFate : std::int64_t {
  no_row = INT64_MIN,
  bad_time,
  missing_hour,
  goes_back,    ///< too late, or in a stretch the log has been through already
  out_of_place, ///< far ahead of the rows around it
  last = out_of_place
};
[[nodiscard]] constexpr std::int64_t mark_of(RowFate fate) {
  return static_cast<std::int64_t>(fate);
}
[[nodiscard]] constexpr bool is_time(std::int64_t row) {
  return row > mark_of(RowFate::last);
}

/// The stamps of a log as read, one a line.
struct StampList {
  struct Twofold {
    std::size_t row = 0;
    std::int64_t later_us = 0;
  };
  std::vector<std::int64_t> us; ///< or the mark of a fate
  std::vector<Twofold> twofold; ///< rows of an hour that comes twice, in the order of lines

  void add(std::size_t row, const Stamp& stamp);
};

struct TimeLine {
  std::int64_t first_us = 0;           ///< stamp of the first row
  std::vector<std::int64_t> row_us;    ///< for each line since the first row, or the mark of its fate
  std::vector<std::int64_t> breaks_us; ///< rows at these times follow a clock that jumped; rising
  std::vector<ClockEvent> events;      ///< in time order; `at` has the line only
  bool newest_first = false;
  bool rows_rise = true; ///< no row has to be put in its place
};

/// What the line of time needs to know of the clock.
struct ClockNature {
  bool has_dates = false;         ///< stamps are dates, not elapsed times or bare times of day
  bool knows_summer_time = false; ///< instants, so that no change of summer time can show as a jump
};

[[nodiscard]] TimeLine draw_time_line(StampList stamps, const ClockNature& nature, int first_line);

} // namespace coldbag
