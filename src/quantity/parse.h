// Text to quantities: "5 lb", "12 h 20 min", "15 psi gauge", "62 %".
#pragma once

#include "quantity/unit.h"

#include <optional>
#include <string>
#include <string_view>

namespace coldbag {

/// A number read, or what is wrong with it. Exactly one of value and problem is there.
struct Parsed {
  std::optional<double> value; ///< in the unit inside the program
  std::string problem;         ///< "\"5\" has no unit"
  std::string remedy;          ///< "write for example \"5 lb\" (kg, g, lb or oz)"
};

/// A number with its unit; several parts are added where each has a unit and they fall in size ("1 h 30 min",
/// "5 lb 4 oz"). Refused: no unit, an unknown unit, nan, inf, anything left over, a decimal comma (said with
/// the point form), a minus sign among several parts, a temperature below absolute zero. Parts are for
/// durations, masses, lengths and volumes. A fraction may be bare ("0.62") from 0 to 1. Other ranges are the
/// caller's.
[[nodiscard]] Parsed parse_quantity(std::string_view text, Dimension dimension);

/// What a pressure is measured from.
enum class PressureKind { gauge, absolute, unstated };

/// A pressure with its kind: "15 psi gauge", "103 kPa abs", "1.2 bar absolute", "15 psig", "30 psia".
struct ParsedPressure {
  Parsed parsed; ///< Pa
  PressureKind kind = PressureKind::unstated;
};
[[nodiscard]] ParsedPressure parse_pressure(std::string_view text);

/// A bare number, whole text, "." as decimal mark, optional leading plus; nan and inf are none.
[[nodiscard]] std::optional<double> parse_number(std::string_view text);

} // namespace coldbag
