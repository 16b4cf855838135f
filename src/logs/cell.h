// One cell to one value, or to the kind of what it is instead.
#pragma once

#include "logs/understanding.h"

#include <cstdint>
#include <optional>
#include <string_view>

namespace coldbag {

enum class CellKind : std::uint8_t { number, empty, text, not_a_number, wrong_unit, impossible };
/// "empty", "text", "not_a_number", "wrong_unit", "impossible".
[[nodiscard]] std::string_view kind_key(CellKind kind);

struct CellReading {
  CellKind kind = CellKind::empty;
  double value = 0; ///< in the unit of the column, and in degC or Pa from read_value
};

/// A number, with "+" and the decimal mark as written; what follows it, blanks left out, goes to `rest`.
[[nodiscard]] std::optional<double> read_number(std::string_view text, char decimal_mark,
                                                std::string_view& rest);

/// Reads a cell of a temperature or pressure column. Temperatures below absolute zero or above 2000 C and
/// absolute pressures below zero are impossible.
[[nodiscard]] CellReading read_value(std::string_view cell, char decimal_mark, ColumnUnit unit,
                                     PressureBasis basis);

/// Elapsed time in microseconds: a number of `unit`, or "1:05:09". Two parts are h:mm in hours and m:ss in
/// minutes; without a unit only three parts are read.
[[nodiscard]] std::optional<std::int64_t> read_elapsed_us(std::string_view cell, char decimal_mark,
                                                          ColumnUnit unit);

/// What a cell looks like before its column is known.
enum class CellLook : std::uint8_t {
  empty,
  missing,
  number,
  number_with_unit,
  moment,
  date,
  clock,
  other_date,
  text
};
[[nodiscard]] CellLook look_at(std::string_view cell, char decimal_mark);

} // namespace coldbag
