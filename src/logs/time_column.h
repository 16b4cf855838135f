// Which column holds the time, and how it is written.
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
  std::size_t dotted_clocks = 0; ///< "18.30.00", "18.30": counted above as dates, numbers or other dates too
  std::size_t texts = 0;
  std::size_t missing = 0; ///< empty cells and marks of nothing
  std::string first;       ///< first cell that is not missing
  int first_line = 0;
  std::optional<ColumnUnit> cell_unit; ///< written behind the first number that has one
  std::string first_with_unit;         ///< the cell of that number
  std::size_t with_unit = 0;
  bool units_differ = false;
  bool is_iso = true;         ///< every date, clock and moment is written by ISO 8601
  bool order_open = false;    ///< some date may be day first or month first
  bool twelve_hours = false;  ///< some clock says AM or PM
  double least = 0, most = 0; ///< of the numbers

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
  bool order_open = false;   ///< the whole log has to settle the order of its dates
  bool twelve_hours = false; ///< of times of day alone
};
[[nodiscard]] TimeFound find_time(const std::string& source_name, const Header& header,
                                  std::span<const ColumnLooks> looks, const LogOptions& options);

/// The place of a column the user named, by name or number from 1; throws UserError where there is none.
[[nodiscard]] int column_named(const std::string& source_name, const Header& header, const std::string& name,
                               const std::string& option);

} // namespace coldbag
