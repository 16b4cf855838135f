#include "logs/unit_words.h"

#include "logs/encoding.h"

#include <algorithm>
#include <array>
#include <cctype>
#include <utility>

namespace coldbag {

namespace {

template <class T, std::size_t n>
std::optional<T> look_up(const std::array<std::pair<std::string_view, T>, n>& words, std::string_view key) {
  for (const auto& [word, meaning] : words)
    if (word == key) return meaning;
  return std::nullopt;
}

constexpr std::array<std::string_view, 4> wide_blanks{"\u00A0", "\u2007", "\u2009", "\u202F"};

std::size_t blank_at_end(std::string_view text) {
  if (text.empty()) return 0;
  if (text.back() == ' ' || text.back() == '\t') return 1;
  if (static_cast<unsigned char>(text.back()) < 0x80) return 0;
  for (const std::string_view wide : wide_blanks)
    if (text.ends_with(wide)) return wide.size();
  return 0;
}

std::string with_plain_blanks(std::string_view text) {
  std::string plain;
  while (!text.empty()) {
    const std::size_t blank = blank_at_front(text);
    plain += blank > 0 ? ' ' : text[0];
    text.remove_prefix(std::max<std::size_t>(blank, 1));
  }
  return plain;
}

std::string without(std::string text, std::string_view dropped) {
  for (std::size_t at = text.find(dropped); at != std::string::npos; at = text.find(dropped, at))
    text.erase(at, dropped.size());
  return text;
}

/// Lower case with blanks, dots and every way to write a degree sign left out. A byte that is no UTF-8 is
/// taken for a degree sign here: that is what it is in one-byte encodings; in some of them its byte is the
/// "ø" or "¡" of Windows-1252.
std::string unit_key(std::string_view text) {
  std::string key = lower_case(trimmed(text));
  for (const std::string_view sign :
       {"\u00B0", "\u00BA", "\u02DA", "\uFFFD", "\x1a", "\u00F8", "\u00A1", "degrees", "degree", "deg",
        "grados", "\u00A0", "\u2007", "\u2009", "\u202F", " ", ".", "_"})
    key = without(std::move(key), sign);
  return key;
}

constexpr std::array<std::pair<std::string_view, ColumnUnit>, 9> temperature_words{{
    {"c", ColumnUnit::degC},
    {"celsius", ColumnUnit::degC},
    {"centigrade", ColumnUnit::degC},
    {"\u2103", ColumnUnit::degC},
    {"f", ColumnUnit::degF},
    {"fahrenheit", ColumnUnit::degF},
    {"\u2109", ColumnUnit::degF},
    {"k", ColumnUnit::kelvin},
    {"kelvin", ColumnUnit::kelvin},
}};

constexpr std::array<std::pair<std::string_view, ColumnUnit>, 23> time_words{{
    {"seg", ColumnUnit::seconds},
    {"segundos", ColumnUnit::seconds},
    {"minutos", ColumnUnit::minutes},
    {"horas", ColumnUnit::hours},
    {"s", ColumnUnit::seconds},
    {"sec", ColumnUnit::seconds},
    {"secs", ColumnUnit::seconds},
    {"second", ColumnUnit::seconds},
    {"seconds", ColumnUnit::seconds},
    {"min", ColumnUnit::minutes},
    {"mins", ColumnUnit::minutes},
    {"minute", ColumnUnit::minutes},
    {"minutes", ColumnUnit::minutes},
    {"h", ColumnUnit::hours},
    {"hr", ColumnUnit::hours},
    {"hrs", ColumnUnit::hours},
    {"hour", ColumnUnit::hours},
    {"hours", ColumnUnit::hours},
    {"d", ColumnUnit::days},
    {"day", ColumnUnit::days},
    {"days", ColumnUnit::days},
    {"ms", ColumnUnit::milliseconds},
    {"milliseconds", ColumnUnit::milliseconds},
}};

constexpr std::array<std::pair<std::string_view, ColumnUnit>, 8> pressure_words{{
    {"kpa", ColumnUnit::kPa},
    {"hpa", ColumnUnit::hPa},
    {"mpa", ColumnUnit::MPa},
    {"mbar", ColumnUnit::mbar},
    {"mb", ColumnUnit::mbar},
    {"bar", ColumnUnit::bar},
    {"psi", ColumnUnit::psi},
    {"pa", ColumnUnit::Pa},
}};

constexpr std::array<std::pair<std::string_view, PressureBasis>, 12> basis_words{{
    {"man", PressureBasis::gauge},
    {"manometrica", PressureBasis::gauge},
    {"rel", PressureBasis::gauge},
    {"relativa", PressureBasis::gauge},
    {"absoluta", PressureBasis::absolute},
    {"absoluto", PressureBasis::absolute},
    {"", PressureBasis::unstated},
    {"g", PressureBasis::gauge},
    {"gauge", PressureBasis::gauge},
    {"a", PressureBasis::absolute},
    {"abs", PressureBasis::absolute},
    {"absolute", PressureBasis::absolute},
}};

/// "name (unit)" or "name [unit]" at the end of the cell.
std::optional<HeaderName> take_from_brackets(std::string_view cell) {
  if (cell.size() < 3) return std::nullopt;
  const char close = cell.back();
  if (close != ')' && close != ']') return std::nullopt;
  int depth = 0;
  for (std::size_t at = cell.size(); at-- > 0;) {
    if (cell[at] == close) ++depth;
    if (cell[at] == (close == ')' ? '(' : '[') && --depth == 0) {
      const std::string_view unit = trimmed(cell.substr(at + 1, cell.size() - at - 2));
      return HeaderName{std::string(trimmed(cell.substr(0, at))), std::string(unit), find_column_unit(unit)};
    }
  }
  return std::nullopt;
}

/// "T1 in" of "T1 in °C" is T1.
std::string_view without_preposition(std::string_view name) {
  for (const std::string_view word : {" in", " en"})
    if (name.size() > word.size() && lower_case(name).ends_with(word))
      return trimmed(name.substr(0, name.size() - word.size()));
  return name;
}

std::optional<HeaderName> take_from(std::string_view cell, std::size_t at) {
  const std::string_view unit = trimmed(cell.substr(at + 1));
  const auto found = find_column_unit(unit);
  if (!found) return std::nullopt;
  const std::string_view name = without_preposition(trimmed(cell.substr(0, at)));
  return HeaderName{std::string(name), std::string(unit), found};
}

/// "T1/°C", the quotient of quantity and unit (ISO 80000-1, from memory), and "T1_degC". One letter may be a
/// bag's name ("Bag B/C").
std::optional<HeaderName> take_from_mark(std::string_view cell, char mark) {
  for (std::size_t at = cell.find(mark); at != std::string_view::npos; at = cell.find(mark, at + 1)) {
    const std::string_view unit = cell.substr(at + 1);
    if (at > 0 && unit.size() > 1 && unit[0] != mark && find_temperature_unit(unit))
      return take_from(cell, at);
  }
  return std::nullopt;
}

/// One letter after a blank may be a bag's name ("Probe C"), so it is no unit; "Probe °C" is.
bool may_stand_after_blank(std::string_view unit) {
  return unit.size() > 1;
}

std::optional<HeaderName> take_from_blank(std::string_view cell) {
  for (std::size_t at = cell.find(' '); at != std::string_view::npos; at = cell.find(' ', at + 1)) {
    if (!may_stand_after_blank(trimmed(cell.substr(at + 1)))) continue;
    if (auto taken = take_from(cell, at)) return taken;
  }
  return std::nullopt;
}

} // namespace

std::size_t blank_at_front(std::string_view text) {
  if (text.empty()) return 0;
  if (text[0] == ' ' || text[0] == '\t') return 1;
  if (static_cast<unsigned char>(text[0]) < 0x80) return 0;
  for (const std::string_view wide : wide_blanks)
    if (text.starts_with(wide)) return wide.size();
  return 0;
}

std::string_view trimmed(std::string_view text) {
  for (std::size_t size = blank_at_front(text); size > 0; size = blank_at_front(text))
    text.remove_prefix(size);
  for (std::size_t size = blank_at_end(text); size > 0; size = blank_at_end(text))
    text.remove_suffix(size);
  return text;
}

std::string lower_case(std::string_view text) {
  std::string lower(text);
  std::transform(lower.begin(), lower.end(), lower.begin(), [](unsigned char c) {
    return c < 0x80 ? static_cast<char>(std::tolower(c)) : static_cast<char>(c);
  });
  return lower;
}

std::string folded(std::string_view text) {
  // U+00C0 to U+00FF, two bytes each in UTF-8; "_" keeps the character.
  constexpr std::string_view plain = "aaaaaa_ceeeeiiii_nooooo_ouuuuy__aaaaaa_ceeeeiiii_nooooo_ouuuuy_y";
  std::string key;
  for (std::size_t at = 0; at < text.size(); ++at) {
    const bool is_latin = text[at] == '\xC3' && at + 1 < text.size();
    const char letter = is_latin ? plain[static_cast<unsigned char>(text[at + 1]) & 0x3FU] : '_';
    if (letter != '_') {
      key += letter;
      ++at;
    } else {
      key += text[at];
    }
  }
  return lower_case(key);
}

std::optional<ColumnUnit> find_temperature_unit(std::string_view text) {
  return look_up(temperature_words, unit_key(text));
}

std::optional<ColumnUnit> find_time_unit(std::string_view text) {
  return look_up(time_words, lower_case(trimmed(text)));
}

std::optional<WrittenUnit> find_pressure_unit(std::string_view text) {
  std::string key = folded(text);
  std::erase_if(key, [](char c) {
    return c == ' ' || c == '.' || c == '(' || c == ')' || c == '[' || c == ']' || c == ',';
  });
  for (const auto& [word, unit] : pressure_words) {
    if (!key.starts_with(word)) continue;
    if (const auto basis = look_up(basis_words, std::string_view(key).substr(word.size())))
      return WrittenUnit{unit, *basis};
  }
  return std::nullopt;
}

std::optional<WrittenUnit> find_column_unit(std::string_view text) {
  if (const auto unit = find_temperature_unit(text)) return WrittenUnit{*unit, PressureBasis::none};
  if (const auto unit = find_time_unit(text)) return WrittenUnit{*unit, PressureBasis::none};
  return find_pressure_unit(text);
}

bool is_temperature(ColumnUnit unit) {
  return unit == ColumnUnit::degC || unit == ColumnUnit::degF || unit == ColumnUnit::kelvin;
}

bool is_pressure(ColumnUnit unit) {
  return unit >= ColumnUnit::Pa && unit <= ColumnUnit::psi;
}

bool is_duration(ColumnUnit unit) {
  return unit == ColumnUnit::seconds || unit == ColumnUnit::minutes || unit == ColumnUnit::hours ||
         unit == ColumnUnit::days || unit == ColumnUnit::milliseconds;
}

HeaderName take_apart(std::string_view written) {
  const std::string plain = with_plain_blanks(written);
  const std::string_view cell = trimmed(plain);
  if (auto taken = take_from_brackets(cell)) return *taken;
  const std::size_t comma = cell.rfind(',');
  if (comma != std::string_view::npos)
    if (auto taken = take_from(cell, comma)) return *taken;
  if (auto taken = take_from_blank(cell)) return *taken;
  for (const char mark : {'/', '_'})
    if (auto taken = take_from_mark(cell, mark)) return *taken;
  return {std::string(cell), "", std::nullopt};
}

std::string unit_symbol(ColumnUnit unit) {
  switch (unit) {
  case ColumnUnit::none:
    return "";
  case ColumnUnit::degC:
    return "C";
  case ColumnUnit::degF:
    return "F";
  case ColumnUnit::kelvin:
    return "K";
  case ColumnUnit::Pa:
    return "Pa";
  case ColumnUnit::hPa:
    return "hPa";
  case ColumnUnit::kPa:
    return "kPa";
  case ColumnUnit::MPa:
    return "MPa";
  case ColumnUnit::mbar:
    return "mbar";
  case ColumnUnit::bar:
    return "bar";
  case ColumnUnit::psi:
    return "psi";
  case ColumnUnit::seconds:
    return "s";
  case ColumnUnit::minutes:
    return "min";
  case ColumnUnit::hours:
    return "h";
  case ColumnUnit::days:
    return "d";
  case ColumnUnit::milliseconds:
    return "ms";
  }
  return "";
}

} // namespace coldbag
