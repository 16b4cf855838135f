// Units as headers, preambles and cells write them.
#pragma once

#include "logs/understanding.h"

#include <optional>
#include <string>
#include <string_view>

namespace coldbag {

/// Bytes of the blank that a text begins with: a plain one, a tab, or a wide one of typesetting (U+00A0,
/// U+2007, U+2009, U+202F); 0 where it begins with none.
[[nodiscard]] std::size_t blank_at_front(std::string_view text);
/// Without blanks at both ends.
[[nodiscard]] std::string_view trimmed(std::string_view text);
/// ASCII letters in lower case.
[[nodiscard]] std::string lower_case(std::string_view text);

/// The same, with the accents of Latin letters left out: "PRESIÓN" is "presion". Other characters stay.
[[nodiscard]] std::string folded(std::string_view text);

struct WrittenUnit {
  ColumnUnit unit = ColumnUnit::none;
  PressureBasis basis = PressureBasis::none; ///< for pressures: unstated where not written
};

/// "°C", "C", "deg F", "kelvin": nothing where it is no temperature unit.
[[nodiscard]] std::optional<ColumnUnit> find_temperature_unit(std::string_view text);
/// "s", "min", "hours".
[[nodiscard]] std::optional<ColumnUnit> find_time_unit(std::string_view text);
/// "kPa gauge", "psig", "bar(a)", "kPa".
[[nodiscard]] std::optional<WrittenUnit> find_pressure_unit(std::string_view text);
/// Any of the three.
[[nodiscard]] std::optional<WrittenUnit> find_column_unit(std::string_view text);

[[nodiscard]] bool is_temperature(ColumnUnit unit);
[[nodiscard]] bool is_pressure(ColumnUnit unit);
[[nodiscard]] bool is_duration(ColumnUnit unit);

/// A header's cell taken apart: "Core 1 (°C)", "Core [F]", "T1, degC", "T1 °C", "T1 in °C", "T1/°C",
/// "T1_degC".
struct HeaderName {
  std::string name;
  std::string unit_text; ///< as written, "" where none; may be a unit we do not know ("%")
  std::optional<WrittenUnit> unit;
};
[[nodiscard]] HeaderName take_apart(std::string_view written);

} // namespace coldbag
