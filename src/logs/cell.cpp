#include "logs/cell.h"

#include "clock/written_time.h"
#include "logs/unit_words.h"
#include "quantity/unit.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>

namespace coldbag {

namespace {

constexpr double absolute_zero_degC = -273.15; // definition of the Celsius scale, SI brochure
constexpr double hottest_degC =
    300; // assumed: no steam vessel reaches it; sensors show 850 or 999 when they fail
constexpr double longest_elapsed_s = 1e9;

bool is_digit(char c) {
  return c >= '0' && c <= '9';
}

/// Plain digits with at most one mark, at most 15 of them: whole number and power of ten are then both exact
/// doubles, and their quotient is the nearest double, as from_chars would have it.
std::optional<double> plain_number(std::string_view text, char decimal_mark) {
  constexpr std::array<double, 16> powers{1,   1e1, 1e2,  1e3,  1e4,  1e5,  1e6,  1e7,
                                          1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15};
  const bool minus = text[0] == '-';
  const std::size_t from = minus ? 1 : 0;
  if (text.size() - from > 15) return std::nullopt;
  std::int64_t whole = 0;
  std::size_t behind_mark = 0; // 1 at the mark itself
  for (std::size_t i = from; i < text.size(); ++i) {
    if (behind_mark > 0) ++behind_mark;
    if (is_digit(text[i]))
      whole = whole * 10 + (text[i] - '0');
    else if (text[i] == decimal_mark && behind_mark == 0)
      behind_mark = 1;
    else
      return std::nullopt;
  }
  const double value = static_cast<double>(whole) / powers[behind_mark > 0 ? behind_mark - 1 : 0];
  return minus ? -value : value;
}

/// from_chars with our decimal mark; `used` is how many characters were the number's.
std::optional<double> number_at_front(std::string_view text, char decimal_mark, std::size_t& used) {
  std::array<char, 64> copy;
  const char* from = text.data();
  if (decimal_mark == ',') {
    const std::size_t size = std::min(text.size(), copy.size());
    // A point is no part of a number here, and neither is what follows it.
    std::transform(from, from + size, copy.begin(), [](char c) {
      return c == ',' ? '.' : c == '.' ? ' ' : c;
    });
    text = {copy.data(), size};
    from = copy.data();
  }
  double value = 0;
  const auto [end, fault] = std::from_chars(from, from + text.size(), value);
  used = static_cast<std::size_t>(end - from);
  if (fault == std::errc::invalid_argument) return std::nullopt;
  return fault == std::errc::result_out_of_range ? HUGE_VAL : value;
}

CellKind kind_of_no_number(std::string_view cell) {
  if (std::all_of(cell.begin(), cell.end(), [](char c) { return c == '-'; })) return CellKind::empty;
  constexpr std::array<std::string_view, 10> words{"nan",  "n/a",  "na",   "#n/a", "inf",
                                                   "-inf", "+inf", "null", "none", "infinity"};
  const std::string lower = lower_case(cell);
  return std::find(words.begin(), words.end(), lower) != words.end() ? CellKind::not_a_number
                                                                     : CellKind::text;
}

double pascals_in(ColumnUnit unit) {
  static const std::array<double, 3> factors = [] {
    const auto factor = [](std::string_view symbol) {
      const Unit* found = find_unit(symbol, Dimension::pressure);
      return found == nullptr ? std::nan("") : found->factor;
    };
    return std::array{factor("kPa"), factor("bar"), factor("psi")};
  }();
  switch (unit) {
  case ColumnUnit::kPa:
    return factors[0];
  case ColumnUnit::bar:
    return factors[1];
  case ColumnUnit::psi:
    return factors[2];
  default:
    return 1;
  }
}

double value_handed_on(double written, ColumnUnit unit) {
  switch (unit) {
  case ColumnUnit::degC:
    return written;
  case ColumnUnit::degF:
    return (written - 32) / 1.8;
  case ColumnUnit::kelvin:
    return written + absolute_zero_degC;
  default:
    return written * pascals_in(unit);
  }
}

bool is_possible(double value, ColumnUnit unit, PressureBasis basis) {
  if (is_temperature(unit)) return value >= absolute_zero_degC && value <= hottest_degC;
  return std::isfinite(value) && (basis != PressureBasis::absolute || value >= 0);
}

bool agrees(std::string_view written, ColumnUnit unit, PressureBasis basis) {
  if (is_temperature(unit)) return find_temperature_unit(written) == unit;
  const auto found = find_pressure_unit(written);
  return found && found->unit == unit && (found->basis == PressureBasis::unstated || found->basis == basis);
}

/// Whole number at the front of a duration's part.
std::optional<std::int64_t> whole_number(std::string_view text) {
  std::int64_t value = 0;
  const auto [end, fault] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (fault != std::errc{} || end != text.data() + text.size() || value < 0 || value > 1'000'000)
    return std::nullopt;
  return value;
}

std::optional<std::int64_t> microseconds(double seconds) {
  if (!(std::abs(seconds) <= longest_elapsed_s)) return std::nullopt;
  return std::llround(seconds * 1e6);
}

double seconds_in(ColumnUnit unit) {
  switch (unit) {
  case ColumnUnit::milliseconds:
    return 1e-3;
  case ColumnUnit::minutes:
    return 60;
  case ColumnUnit::hours:
    return 3600;
  case ColumnUnit::days:
    return 86'400;
  default:
    return 1;
  }
}

/// "1:05:09.5", "1:05" (h:mm or m:ss by the unit).
std::optional<std::int64_t> read_colons_us(std::string_view cell, char decimal_mark, ColumnUnit unit) {
  const std::size_t first = cell.find(':');
  const std::size_t second = cell.find(':', first + 1);
  const bool two_parts = second == std::string_view::npos;
  if (two_parts && unit != ColumnUnit::hours && unit != ColumnUnit::minutes) return std::nullopt;
  const auto lead = whole_number(cell.substr(0, first));
  if (!lead) return std::nullopt;
  const std::string_view tail = two_parts ? cell.substr(first + 1) : cell.substr(second + 1);
  std::string_view rest;
  const auto last = !tail.empty() && is_digit(tail[0]) ? read_number(tail, decimal_mark, rest) : std::nullopt;
  if (!last || !rest.empty() || *last >= 60) return std::nullopt;
  if (two_parts)
    return unit == ColumnUnit::hours ? microseconds(static_cast<double>(*lead) * 3600 + *last * 60)
                                     : microseconds(static_cast<double>(*lead) * 60 + *last);
  const auto minutes = whole_number(cell.substr(first + 1, second - first - 1));
  if (!minutes || *minutes >= 60) return std::nullopt;
  return microseconds(static_cast<double>(*lead * 3600 + *minutes * 60) + *last);
}

/// Digits (or a month's name) three times with the same mark of "/.-" between, or a twelve-hour clock.
bool looks_like_other_date(std::string_view cell) {
  const std::string lower = lower_case(cell);
  if (lower.size() > 4 && is_digit(lower[0]) && lower.find(':') != std::string::npos &&
      (lower.ends_with("am") || lower.ends_with("pm") || lower.ends_with("a.m.") || lower.ends_with("p.m.")))
    return true;
  std::size_t at = 0;
  while (at < cell.size() && is_digit(cell[at]))
    ++at;
  if (at == 0 || at > 4 || at == cell.size()) return false;
  const char mark = cell[at];
  if (mark != '/' && mark != '.' && mark != '-' && mark != ' ') return false;
  const std::size_t second = cell.find(mark, at + 1);
  if (second == std::string_view::npos || second == at + 1 || second > at + 10) return false;
  return second + 1 < cell.size() && is_digit(cell[second + 1]);
}

bool looks_like_clock(std::string_view cell) {
  if (cell.find(':') == std::string_view::npos || !is_digit(cell[0])) return false;
  return std::all_of(cell.begin(), cell.end(),
                     [](char c) { return is_digit(c) || c == ':' || c == '.' || c == ','; });
}

} // namespace

std::string_view kind_key(CellKind kind) {
  constexpr std::array<std::string_view, 6> keys{"number",       "empty",      "text",
                                                 "not_a_number", "wrong_unit", "impossible"};
  return keys[static_cast<std::size_t>(kind)];
}

std::optional<double> read_number(std::string_view text, char decimal_mark, std::string_view& rest) {
  const bool plus = !text.empty() && text[0] == '+';
  if (plus) text.remove_prefix(1);
  const std::size_t digit = !plus && !text.empty() && text[0] == '-' ? 1 : 0;
  // from_chars would read "inf" and "nan", which are no readings.
  if (text.size() <= digit || (!is_digit(text[digit]) && text[digit] != decimal_mark)) return std::nullopt;
  rest = {};
  // A mark alone is no number; a digit before it makes the plain case.
  if (is_digit(text[digit]))
    if (const auto plain = plain_number(text, decimal_mark)) return plain;
  std::size_t used = 0;
  const auto value = number_at_front(text, decimal_mark, used);
  rest = text.substr(used);
  while (!rest.empty() && rest[0] == ' ')
    rest.remove_prefix(1);
  return value;
}

CellReading read_value(std::string_view cell, char decimal_mark, ColumnUnit unit, PressureBasis basis) {
  if (cell.empty()) return {};
  std::string_view rest;
  const auto number = read_number(cell, decimal_mark, rest);
  if (!number) return {kind_of_no_number(cell), 0};
  if (!rest.empty() && !agrees(rest, unit, basis))
    return {find_column_unit(rest) ? CellKind::wrong_unit : CellKind::text, 0};
  const double value = value_handed_on(*number, unit);
  return {is_possible(value, unit, basis) ? CellKind::number : CellKind::impossible, value};
}

std::optional<std::int64_t> read_elapsed_us(std::string_view cell, char decimal_mark, ColumnUnit unit) {
  if (cell.find(':') != std::string_view::npos) return read_colons_us(cell, decimal_mark, unit);
  if (unit == ColumnUnit::none) return std::nullopt;
  std::string_view rest;
  const auto number = read_number(cell, decimal_mark, rest);
  if (!number || (!rest.empty() && find_time_unit(rest) != unit)) return std::nullopt;
  return microseconds(*number * seconds_in(unit));
}

CellLook look_at(std::string_view cell, char decimal_mark) {
  if (cell.empty()) return CellLook::empty;
  std::string_view rest;
  if (const auto number = read_number(cell, decimal_mark, rest)) {
    if (rest.empty()) return CellLook::number;
    if (find_temperature_unit(rest)) return CellLook::number_with_unit;
  }
  if (const auto time = read_written_time(cell))
    return !time->date ? CellLook::clock : time->clock_us ? CellLook::moment : CellLook::date;
  if (looks_like_clock(cell)) return CellLook::clock;
  if (looks_like_other_date(cell)) return CellLook::other_date;
  return kind_of_no_number(cell) == CellKind::text ? CellLook::text : CellLook::missing;
}

} // namespace coldbag
