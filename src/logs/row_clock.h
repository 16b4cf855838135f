// The cells of time of one row to one moment on the log's own line of time.
#pragma once

#include "clock/zone.h"
#include "logs/understanding.h"

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace coldbag {

enum class StampKind : std::uint8_t {
  good,
  bad_time,
  missing_hour,
  zone_differs ///< has a zone where the first rows have none, or none where they have one
};

/// Microseconds of an instant (since 1970, UTC), of a wall clock or since the start, as the log has it.
struct Stamp {
  StampKind kind = StampKind::bad_time;
  std::int64_t us = 0;
  std::int64_t later_us = 0; ///< the second instant of an hour that comes twice, else the same
};

/// Reads the times of row after row, in the order of the file.
class RowClock {
 public:
  explicit RowClock(const Understanding& understanding);

  /// `date` has no data where one cell holds all.
  [[nodiscard]] Stamp read(std::string_view date, std::string_view time);
  /// Times of day whose newest row stands first are dated from their last row, so its day is known late:
  /// starts afresh with a date that puts `first_us` on the day the rule says. False where it is there
  /// already.
  [[nodiscard]] bool date_first_row(std::int64_t first_us);
  [[nodiscard]] std::optional<Instant> instant_of(std::int64_t us) const;
  /// What the clock showed; nothing for elapsed times and for times of day without a date.
  [[nodiscard]] std::optional<WallTime> wall_of(std::int64_t us) const;

 private:
  [[nodiscard]] Stamp read_iso(std::string_view date, std::string_view time);
  [[nodiscard]] Stamp read_written(std::string_view date, std::string_view time);
  [[nodiscard]] Stamp read_number(std::string_view time);
  [[nodiscard]] Stamp read_clock(std::string_view time);
  [[nodiscard]] Stamp from_wall(WallTime wall, const std::optional<int>& offset_s);
  [[nodiscard]] Stamp place_in_zone(WallTime wall);

  TimeRule::Form form_;
  ColumnUnit unit_ = ColumnUnit::none;
  char decimal_mark_;
  bool written_offset_;
  std::optional<DateOrder> order_;
  std::optional<Zone> zone_;
  std::optional<WallTime> date_;
  std::optional<std::int64_t> last_clock_us_; ///< of times of day, with the midnights passed
  std::string last_date_text_;
  std::optional<WallTime> last_midnight_;
  // The quarter of an hour of the last wall time and its offset, where the whole quarter has one.
  std::int64_t quarter_ = INT64_MIN;
  std::int64_t quarter_offset_us_ = 0;
  bool quarter_plain_ = false;
};

} // namespace coldbag
