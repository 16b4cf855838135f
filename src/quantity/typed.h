// Numbers as people type them with wet hands: "98.4", "98,4", "98.4 C".
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace coldbag {

/// One number and what stands behind it.
struct TypedNumber {
  double value = 0;
  std::string digits; ///< as typed, with a point as decimal mark: "98.4"
  int decimals = 0;
  std::string unit; ///< "C", "°F", "" where none was typed
  bool operator==(const TypedNumber&) const = default;
};

/// A number with one decimal mark at most, point or comma alike; blanks around and before the unit are
/// passed over. Nothing where it is none, or where more than a unit stands behind it.
[[nodiscard]] std::optional<TypedNumber> typed_number(std::string_view text);

/// A temperature, degC, and the step that its last digit is, K; a number without unit is taken in
/// `bare_in_degF` or C. Nothing where it is none, or below absolute zero.
struct TypedTemperature {
  double degC = 0;
  double step_K = 0;
  bool operator==(const TypedTemperature&) const = default;
};
[[nodiscard]] std::optional<TypedTemperature> typed_temperature(std::string_view text, bool bare_in_degF);

} // namespace coldbag
