// One cell to one value, or to the kind of what it is instead.
#pragma once

#include "logs/understanding.h"

#include <cstdint>
#include <optional>
#include <string_view>

namespace coldbag {

enum class CellKind : std::uint8_t { number, empty, text, not_a_number, wrong_unit, impossible, fault_value };
/// "empty", "text", "not_a_number", "wrong_unit", "impossible", "fault_value".
[[nodiscard]] std::string_view kind_key(CellKind kind);

struct CellReading {
  CellKind kind = CellKind::empty;
  double value = 0; ///< in the unit of the column, and in degC or Pa from read_value
};

/// A number, with "+", thousands marks and the decimal mark as written; what follows it, blanks left out,
/// goes to `rest`.
[[nodiscard]] std::optional<double> read_number(std::string_view text, char decimal_mark,
                                                std::string_view& rest);

/// Reads a cell of a temperature or pressure column. Impossible are temperatures below absolute zero or above
/// 300 C, pressures below none and above 5 MPa. A number that recorders write for a failed sensor (850, -999,
/// 32767) is a fault value, whatever the temperature's unit; a pressure is one only where it is impossible.
[[nodiscard]] CellReading read_value(std::string_view cell, char decimal_mark, ColumnUnit unit,
                                     PressureBasis basis);

/// The same where the unit is said with each value: by the cell beside it, or, where `unit_cell` is empty, in
/// the cell itself. A value that says none is of a wrong unit, and so is one that says another quantity.
[[nodiscard]] CellReading read_value_with_unit(std::string_view cell, std::string_view unit_cell,
                                               char decimal_mark, ColumnUnit column_unit,
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
