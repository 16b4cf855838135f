// Which column holds the time, and the time of a row.
#pragma once

#include "clock/zone.h"
#include "logs/cell.h"
#include "logs/header.h"
#include "logs/understanding.h"

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace coldbag {

/// What the first rows show of one column.
struct ColumnLooks {
  std::size_t numbers = 0;
  std::size_t moments = 0; ///< date and clock
  std::size_t dates = 0;
  std::size_t clocks = 0;
  std::size_t other_dates = 0;
  std::size_t texts = 0;
  std::size_t missing = 0; ///< empty cells and marks of nothing
  std::string first;       ///< first cell that is not missing
  int first_line = 0;
  std::optional<ColumnUnit> cell_unit; ///< written behind every number
  std::size_t with_unit = 0;
  bool units_differ = false;

  [[nodiscard]] std::size_t filled() const {
    return numbers + moments + dates + clocks + other_dates + texts;
  }
};

[[nodiscard]] std::vector<ColumnLooks> look_at_columns(std::span<const SampleLine> rows, char delimiter,
                                                       char decimal_mark, std::size_t columns);

/// The columns of time found, and the rule; `date` is -1 where one column has it all.
struct TimeFound {
  TimeRule rule;
  int time = -1;
  int date = -1;
  Choice<ColumnUnit> unit; ///< of elapsed times; none for "h:mm:ss"
  std::string evidence;
  How how = How::found;
};
[[nodiscard]] TimeFound find_time(const std::string& source_name, const Header& header,
                                  std::span<const ColumnLooks> looks, const LogOptions& options);

/// The place of a column the user named, by name or number from 1; throws UserError where there is none.
[[nodiscard]] int column_named(const std::string& source_name, const Header& header, const std::string& name,
                               const std::string& option);

enum class TimeVerdict : std::uint8_t { good, bad_time, repeats, goes_back, missing_hour };

/// Turns the time cells of row after row into times that rise.
class RowClock {
 public:
  explicit RowClock(const Understanding& understanding);

  /// Reads a row's time; only a good one moves the clock on.
  TimeVerdict take(std::string_view date, std::string_view time);
  /// Of the last good row.
  [[nodiscard]] std::int64_t since_first_us() const { return last_us_ - first_us_; }
  [[nodiscard]] std::optional<Instant> first_instant() const { return first_instant_; }
  [[nodiscard]] std::optional<WallTime> first_wall() const { return first_wall_; }

 private:
  [[nodiscard]] std::optional<IsoTime> read_iso(std::string_view date, std::string_view time) const;
  [[nodiscard]] TimeVerdict place_in_zone(WallTime wall, std::int64_t& us);
  TimeVerdict accept(std::int64_t us);

  TimeRule::Form form_;
  ColumnUnit unit_ = ColumnUnit::none;
  char decimal_mark_;
  bool written_offset_;
  std::optional<Zone> zone_;
  std::int64_t first_us_ = 0;
  std::int64_t last_us_ = 0;
  bool any_ = false;
  std::optional<Instant> first_instant_;
  std::optional<WallTime> first_wall_;
  // The quarter of an hour of the last wall time and its offset, where the whole quarter has one.
  std::int64_t quarter_ = INT64_MIN;
  std::int64_t quarter_offset_us_ = 0;
  bool quarter_plain_ = false;
};

} // namespace coldbag
