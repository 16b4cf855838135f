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
constexpr double lowest_gauge_Pa = -110000; // assumed: no air weighs more, so nothing is further below it
constexpr double highest_pressure_Pa = 5e6; // assumed: no steam vessel for bags reaches it
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
  std::array<char, 64> copy{};
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

/// What may part thousands at `at`: a point or comma that is no decimal mark, a plain or
/// wide blank or an apostrophe; how many bytes, 0 where nothing does.
std::size_t thousands_mark(std::string_view text, std::size_t at, char decimal_mark) {
  const char c = at < text.size() ? text[at] : '\0';
  if (c == '\'' || ((c == '.' || c == ',') && c != decimal_mark)) return 1;
  return c == '\t' ? 0 : blank_at_front(text.substr(std::min(at, text.size())));
}

/// "1,234.5", "12 345": one to three digits, then groups of three behind one and the same mark. "1,234" may
/// be a decimal comma in a log of points, so a point or comma has to come twice or with a decimal mark.
std::optional<double> grouped_number(std::string_view text, char decimal_mark, std::size_t& used) {
  const std::size_t sign = !text.empty() && text[0] == '-' ? 1 : 0;
  std::size_t at = sign;
  while (at < text.size() && is_digit(text[at]))
    ++at;
  const std::size_t mark_bytes = at < text.size() ? thousands_mark(text, at, decimal_mark) : 0;
  if (mark_bytes == 0 || at == sign || at > sign + 3 || text[sign] == '0' || text.size() > 40)
    return std::nullopt;
  const std::size_t first_mark = at;
  const std::string_view mark = text.substr(at, mark_bytes);
  std::string digits(text.substr(0, at));
  while (text.substr(at).starts_with(mark)) {
    const std::string_view group = text.substr(std::min(at + mark_bytes, text.size()), 3);
    if (group.size() < 3 || !std::all_of(group.begin(), group.end(), is_digit)) return std::nullopt;
    digits += group;
    at += mark_bytes + 3;
  }
  if (at < text.size() && is_digit(text[at])) return std::nullopt;
  const bool once = at == first_mark + mark_bytes + 3;
  if ((mark == "." || mark == ",") && once && !text.substr(at).starts_with(decimal_mark)) return std::nullopt;
  const std::size_t before = digits.size();
  digits += text.substr(at);
  std::size_t used_digits = 0;
  const auto value = number_at_front(digits, decimal_mark, used_digits);
  used = at + used_digits - before;
  return value;
}

/// Numbers that recorders write in the place of a reading: no sensor, an open or a shorted one, an overflow
/// of a word of 16 bits, also with its last digits behind the mark. Common practice, no source. 85 is not
/// among them: it may be a reading, and it does in a hot bag.
constexpr std::array fault_values{-9999.0, -999.9,  -999.0,   -127.0,  850.0,  999.0,  999.9,
                                  1999.0,  3276.7,  -3276.8,  6553.5,  8888.0, 9999.0, 327.67,
                                  655.35,  32767.0, -32768.0, 65535.0, -327.68};
/// None of them is between these.
constexpr double fault_value_below = -100;
constexpr double fault_value_above = 320;

bool is_fault_value(double written) {
  if (written > fault_value_below && written < fault_value_above) return false;
  return std::find(fault_values.begin(), fault_values.end(), written) != fault_values.end();
}

/// Words for no reading; common practice, no source.
constexpr std::array<std::string_view, 28> words_of_no_number{
    "nan",  "n/a",   "n.a.",  "na",  "#n/a",    "inf",     "-inf",    "+inf", "infinity", "null",
    "none", "err",   "error", "ol",  "+ol",     "-ol",     "o.l",     "open", "short",    "over",
    "fail", "fault", "lost",  "nil", "no data", "missing", "abierto", "s/d"};

/// Dashes, dots and strokes alone mark a place without a value, and so do the words above.
CellKind kind_of_no_number(std::string_view cell) {
  std::string_view marks = trimmed(cell);
  // The dashes and the minus sign of typesetting are as good as "-".
  while (marks.starts_with("\u2013") || marks.starts_with("\u2014") || marks.starts_with("\u2212"))
    marks.remove_prefix(3);
  if (marks.find_first_not_of("-./*?_~") == std::string_view::npos) return CellKind::empty;
  constexpr const auto& words = words_of_no_number;
  const std::string lower = lower_case(cell);
  return std::find(words.begin(), words.end(), lower) != words.end() ? CellKind::not_a_number
                                                                     : CellKind::text;
}

double pascals_in(ColumnUnit unit) {
  static const std::array<double, 5> factors = [] {
    const auto factor = [](std::string_view symbol) {
      const Unit* found = find_unit(symbol, Dimension::pressure);
      return found == nullptr ? std::nan("") : found->factor;
    };
    return std::array{factor("kPa"), factor("bar"), factor("psi"), factor("hPa"), factor("MPa")};
  }();
  switch (unit) {
  case ColumnUnit::kPa:
    return factors[0];
  case ColumnUnit::bar:
    return factors[1];
  case ColumnUnit::psi:
    return factors[2];
  case ColumnUnit::hPa:
  case ColumnUnit::mbar:
    return factors[3];
  case ColumnUnit::MPa:
    return factors[4];
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
  return value >= (basis == PressureBasis::absolute ? 0 : lowest_gauge_Pa) && value <= highest_pressure_Pa;
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
  const bool may_name_month = at > 0 || cell.find(':') != std::string_view::npos;
  if (may_name_month && !unknown_month_in(cell).empty()) return true;
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

bool is_beyond_ascii(std::string_view text) {
  return !text.empty() && static_cast<unsigned char>(text[0]) >= 0x80;
}

/// A number behind a wide blank or the minus sign of typesetting (U+2212).
std::optional<double> read_typeset_number(std::string_view text, char decimal_mark, std::string_view& rest) {
  constexpr std::string_view minus = "\u2212";
  text = trimmed(text);
  if (!text.starts_with(minus))
    return is_beyond_ascii(text) ? std::nullopt : read_number(text, decimal_mark, rest);
  text.remove_prefix(minus.size());
  if (text.empty() || (!is_digit(text[0]) && text[0] != decimal_mark)) return std::nullopt;
  const auto size = read_number(text, decimal_mark, rest);
  return size ? std::optional(-*size) : std::nullopt;
}

} // namespace

std::string_view kind_key(CellKind kind) {
  constexpr std::array<std::string_view, 7> keys{"number",     "empty",      "text",       "not_a_number",
                                                 "wrong_unit", "impossible", "fault_value"};
  return keys[static_cast<std::size_t>(kind)];
}

std::optional<double> read_number(std::string_view text, char decimal_mark, std::string_view& rest) {
  if (is_beyond_ascii(text)) return read_typeset_number(text, decimal_mark, rest);
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
  const auto grouped = grouped_number(text, decimal_mark, used);
  const auto value = grouped ? grouped : number_at_front(text, decimal_mark, used);
  rest = text.substr(used);
  rest = trimmed(rest);
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
  const bool possible = is_possible(value, unit, basis);
  // A pressure of 999 hPa is a reading; a bag at 999 or -127 degrees is none.
  if ((!possible || is_temperature(unit)) && is_fault_value(*number)) return {CellKind::fault_value, value};
  return {possible ? CellKind::number : CellKind::impossible, value};
}

CellReading read_value_with_unit(std::string_view cell, std::string_view unit_cell, char decimal_mark,
                                 ColumnUnit column_unit, PressureBasis basis) {
  std::string_view rest;
  const auto number = read_number(cell, decimal_mark, rest);
  if (!number) return cell.empty() ? CellReading{} : CellReading{kind_of_no_number(cell), 0};
  const auto unit = find_column_unit(unit_cell.empty() ? rest : unit_cell);
  if (!unit || is_pressure(unit->unit) != is_pressure(column_unit) || is_duration(unit->unit))
    return {CellKind::wrong_unit, 0};
  if (is_pressure(unit->unit) && unit->basis != PressureBasis::unstated && unit->basis != basis)
    return {CellKind::wrong_unit, 0};
  return read_value(cell, decimal_mark, unit->unit, basis);
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
