// The units a user may write, and their factors, once.
#pragma once

#include <span>
#include <string_view>

namespace coldbag {

/// What a number measures; the unit inside the program stands behind each.
enum class Dimension {
  temperature,            ///< degC, on the scale
  temperature_difference, ///< K
  duration,               ///< s
  mass,                   ///< kg
  length,                 ///< m
  area,                   ///< m2
  volume,                 ///< m3
  power,                  ///< W
  energy,                 ///< J
  mass_rate,              ///< kg/s (steam)
  pressure,               ///< Pa; gauge or absolute is said apart
  fraction,               ///< 0 to 1 ("62 %")
  transmittance,          ///< W/m2K
  fuel_rate,              ///< kg/s, or m3/s for gas and liquids: see unit names
};

/// One way to write a unit. value_inside = written * factor + offset.
struct Unit {
  std::string_view symbol; ///< as written, case kept: "kg", "lb", "psi"
  Dimension dimension;
  double factor;
  double offset;
};

/// Every unit known; sources of the factors stand beside the table in unit.cpp.
[[nodiscard]] std::span<const Unit> all_units();

/// The unit a user wrote, or null. Spelling is forgiving: "C", "degC", "°C", "deg C"; "lbs"; "hours". Letters
/// that would change the meaning are not folded ("mm" is not "Mm").
[[nodiscard]] const Unit* find_unit(std::string_view symbol, Dimension dimension);

/// What was written, in the unit inside the program: factor and offset applied with as few roundings as may
/// be (212 F is 100 degC to the last digit).
[[nodiscard]] double inside_value(const Unit& unit, double written);

/// "m3, L, gal or ft3": the units to name in an error.
[[nodiscard]] std::string_view units_to_name(Dimension dimension);

} // namespace coldbag
