#include "quantity/typed.h"

#include "quantity/parse.h"
#include "quantity/unit.h"

#include <cmath>

namespace coldbag {

namespace {

constexpr std::string_view blanks = " \t\r\n";

std::string_view trimmed(std::string_view text) {
  const std::size_t first = text.find_first_not_of(blanks);
  if (first == std::string_view::npos) return {};
  return text.substr(first, text.find_last_not_of(blanks) - first + 1);
}

bool is_digit(char c) {
  return c >= '0' && c <= '9';
}

} // namespace

std::optional<TypedNumber> typed_number(std::string_view text) {
  text = trimmed(text);
  TypedNumber number;
  std::size_t at = 0;
  bool has_mark = false;
  bool has_digit = false;
  if (!text.empty() && (text[0] == '-' || text[0] == '+')) {
    if (text[0] == '-') number.digits = "-";
    at = 1;
  }
  for (; at < text.size(); ++at) {
    const bool is_mark = text[at] == '.' || text[at] == ',';
    if (!is_digit(text[at]) && (!is_mark || has_mark)) break;
    number.digits += is_mark ? '.' : text[at];
    has_digit = has_digit || !is_mark;
    number.decimals += has_mark ? 1 : 0;
    has_mark = has_mark || is_mark;
  }
  if (!has_digit) return {};
  if (number.digits.back() == '.') number.digits.pop_back();
  number.unit = std::string(trimmed(text.substr(at)));
  if (number.unit.find_first_of("0123456789.,;+-") != std::string::npos) return {};
  std::string plain = number.digits;
  if (plain.front() == '.' || plain.starts_with("-.")) plain.insert(plain.find('.'), "0");
  const auto value = parse_number(plain);
  if (!value) return {};
  number.digits = plain;
  number.value = *value;
  return number;
}

std::optional<TypedTemperature> typed_temperature(std::string_view text, bool bare_in_degF) {
  const auto number = typed_number(text);
  if (!number) return {};
  const std::string unit = number->unit.empty() ? (bare_in_degF ? "F" : "C") : number->unit;
  const Parsed parsed = parse_quantity(number->digits + " " + unit, Dimension::temperature);
  const Unit* known = find_unit(unit, Dimension::temperature);
  if (!parsed.value || known == nullptr) return {};
  return TypedTemperature{*parsed.value, std::pow(10.0, -number->decimals) * known->factor};
}

} // namespace coldbag
