#include "quantity/parse.h"

#include <fmt/format.h>

#include <charconv>
#include <cmath>
#include <system_error>
#include <utility>

namespace coldbag {
namespace {

constexpr std::string_view blanks = " \t";

std::string_view trimmed(std::string_view text) {
  const auto first = text.find_first_not_of(blanks);
  if (first == std::string_view::npos) return {};
  return text.substr(first, text.find_last_not_of(blanks) - first + 1);
}

bool is_digit(char c) {
  return c >= '0' && c <= '9';
}

/// A number at the front of a text, and how many letters it takes.
struct NumberAhead {
  double value = 0;
  std::size_t size = 0;
  bool too_large = false; ///< or too small to be held
};

std::optional<NumberAhead> number_ahead(std::string_view text) {
  const std::size_t plus = text.starts_with('+') ? 1 : 0;
  const std::string_view unsigned_text = text.substr(text.starts_with('-') ? 1 : plus);
  // from_chars would take "inf", "nan" and, behind our plus, a minus.
  if (unsigned_text.empty() || (!is_digit(unsigned_text.front()) && unsigned_text.front() != '.')) {
    return std::nullopt;
  }
  NumberAhead number;
  const auto [end, error] = std::from_chars(text.data() + plus, text.data() + text.size(), number.value);
  if (error == std::errc::invalid_argument) return std::nullopt;
  number.size = static_cast<std::size_t>(end - text.data());
  number.too_large = error == std::errc::result_out_of_range;
  return number;
}

/// What the messages call a dimension, and a right way to write one.
struct Manner {
  std::string_view name;
  std::string_view example;
};

Manner manner_of(Dimension dimension) {
  switch (dimension) {
  case Dimension::temperature:
    return {"temperature", "95 C"};
  case Dimension::temperature_difference:
    return {"temperature difference", "0.5 K"};
  case Dimension::duration:
    return {"time", "1 h 30 min"};
  case Dimension::mass:
    return {"mass", "5 lb"};
  case Dimension::length:
    return {"length", "30 cm"};
  case Dimension::area:
    return {"area", "4.5 m2"};
  case Dimension::volume:
    return {"volume", "2 m3"};
  case Dimension::power:
    return {"power", "12 kW"};
  case Dimension::energy:
    return {"energy", "40 kWh"};
  case Dimension::mass_rate:
    return {"steam rate", "20 kg/h"};
  case Dimension::pressure:
    return {"pressure", "103 kPa"};
  case Dimension::fraction:
    return {"fraction", "62 %"};
  case Dimension::transmittance:
    return {"transmittance", "0.8 W/m2K"};
  case Dimension::fuel_rate:
    return {"fuel rate", "3 kg/h"};
  }
  return {};
}

std::string remedy_for(Dimension dimension) {
  return fmt::format("write for example \"{}\" ({})", manner_of(dimension).example, units_to_name(dimension));
}

Parsed refused(std::string problem, std::string remedy) {
  return {std::nullopt, std::move(problem), std::move(remedy)};
}

bool may_have_parts(Dimension dimension) {
  return dimension == Dimension::duration || dimension == Dimension::mass || dimension == Dimension::length ||
         dimension == Dimension::volume;
}

/// Where the unit at the front of the text ends. A digit may belong to it ("ft3") unless the dimension's
/// units have none ("12h20min").
std::size_t unit_size(std::string_view text, Dimension dimension) {
  const bool digit_ends_it = may_have_parts(dimension) && dimension != Dimension::volume;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const bool starts_number = is_digit(text[i]) || text[i] == '.' || text[i] == '+' || text[i] == '-';
    if (!starts_number) continue;
    const bool after_blank = i > 0 && blanks.find(text[i - 1]) != std::string_view::npos;
    if (after_blank || digit_ends_it) return i;
  }
  return text.size();
}

Parsed decimal_comma(std::string_view whole, std::string_view text, std::size_t comma) {
  std::string pointed{text};
  pointed[comma] = '.';
  std::size_t digits = 0;
  while (comma + 1 + digits < text.size() && is_digit(text[comma + 1 + digits]))
    ++digits;
  const std::string problem = fmt::format("\"{}\" has a comma in its number", whole);
  if (digits != 3) return refused(problem, fmt::format("write \"{}\"", pointed));
  std::string joined{text};
  joined.erase(comma, 1);
  return refused(problem,
                 fmt::format("write \"{}\", or \"{}\" if the comma parts the thousands", pointed, joined));
}

Parsed checked_value(double value, std::string_view whole, Dimension dimension) {
  if (!std::isfinite(value)) {
    return refused(fmt::format("\"{}\" is too large", whole), remedy_for(dimension));
  }
  if (dimension == Dimension::temperature && value < -273.15) {
    return refused(fmt::format("\"{}\" is below absolute zero", whole), remedy_for(dimension));
  }
  return {value, {}, {}};
}

Parsed bare_fraction(double value, std::string_view whole) {
  if (value >= 0 && value <= 1) return {value, {}, {}};
  return refused(fmt::format("\"{}\" has no percent sign and is not between 0 and 1", whole),
                 R"(write for example "62 %" or "0.62")");
}

/// One number with its unit at the front of the text, or what is wrong with it.
struct Part {
  Parsed parsed;
  const Unit* unit = nullptr; ///< null where a fraction is bare
  std::size_t size = 0;
  bool negative = false;
};

Part part_ahead(std::string_view whole, std::string_view text, Dimension dimension) {
  Part part;
  const auto number = number_ahead(text);
  if (!number) {
    part.parsed = refused(fmt::format("\"{}\" does not begin with a number", text), remedy_for(dimension));
    return part;
  }
  if (number->too_large) {
    part.parsed = refused(fmt::format("\"{}\" is too large or too small", whole), remedy_for(dimension));
    return part;
  }
  std::string_view rest = text.substr(number->size);
  if (rest.size() > 1 && rest[0] == ',' && is_digit(rest[1])) {
    part.parsed = decimal_comma(whole, text, number->size);
    return part;
  }
  const std::size_t size = unit_size(rest, dimension);
  const std::string_view symbol = trimmed(rest.substr(0, size));
  part.size = number->size + size;
  part.negative = number->value < 0;
  if (symbol.empty()) {
    part.parsed = dimension == Dimension::fraction
                      ? bare_fraction(number->value, whole)
                      : refused(fmt::format("\"{}\" has no unit", trimmed(text)), remedy_for(dimension));
    return part;
  }
  part.unit = find_unit(symbol, dimension);
  part.parsed = part.unit != nullptr
                    ? checked_value(inside_value(*part.unit, number->value), whole, dimension)
                    : refused(fmt::format("\"{}\" is not a unit of {}", symbol, manner_of(dimension).name),
                              remedy_for(dimension));
  return part;
}

/// The kind that a word at the end of a pressure names.
std::optional<PressureKind> kind_of_word(std::string_view word) {
  std::string small;
  for (const char c : word)
    small += c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
  if (small == "g" || small == "gauge" || small == "gage") return PressureKind::gauge;
  if (small == "a" || small == "abs" || small == "absolute") return PressureKind::absolute;
  return std::nullopt;
}

struct SplitPressure {
  std::string_view quantity; ///< without the kind
  PressureKind kind = PressureKind::unstated;
};

/// "15 psi" and gauge from "15 psi gauge", "15 psi (g)".
std::optional<SplitPressure> split_at_word(std::string_view text) {
  const auto before = text.find_last_of(" \t(");
  if (before == std::string_view::npos) return std::nullopt;
  std::string_view word = text.substr(before + 1);
  if (text[before] == '(' && word.ends_with(')')) word.remove_suffix(1);
  const auto kind = kind_of_word(word);
  if (!kind) return std::nullopt;
  return SplitPressure{trimmed(text.substr(0, before)), *kind};
}

/// "15 psi" and gauge from "15 psig". The a of "kPa" is its own, for "kP" is no unit.
SplitPressure split_at_letter(std::string_view text) {
  const auto number = number_ahead(text);
  if (!number || number->size >= text.size()) return {text};
  const std::string_view symbol = trimmed(text.substr(number->size));
  if (symbol.empty()) return {text};
  const auto kind = kind_of_word(symbol.substr(symbol.size() - 1));
  const bool unit_before = find_unit(symbol.substr(0, symbol.size() - 1), Dimension::pressure) != nullptr;
  if (!kind || !unit_before) return {text};
  return {text.substr(0, text.size() - 1), *kind};
}

} // namespace

Parsed parse_quantity(std::string_view text, Dimension dimension) {
  const std::string_view whole = trimmed(text);
  if (whole.empty()) return refused("nothing is written", remedy_for(dimension));
  std::string_view rest = whole;
  double sum = 0;
  const Unit* previous = nullptr;
  bool negative = false;
  while (!rest.empty()) {
    Part part = part_ahead(whole, rest, dimension);
    if (!part.parsed.value) return std::move(part.parsed);
    const bool first = rest.size() == whole.size();
    negative = negative || part.negative;
    rest = trimmed(rest.substr(part.size));
    const bool alone = first && rest.empty();
    if (alone) return std::move(part.parsed);
    if (!may_have_parts(dimension)) {
      return refused(fmt::format("\"{}\" holds more than one {}", whole, manner_of(dimension).name),
                     remedy_for(dimension));
    }
    if (negative) {
      return refused(fmt::format("\"{}\" has a minus sign among several parts", whole),
                     remedy_for(dimension));
    }
    if (previous != nullptr && part.unit->factor >= previous->factor) {
      return refused(fmt::format("the units of \"{}\" do not go from large to small", whole),
                     remedy_for(dimension));
    }
    previous = part.unit;
    sum += *part.parsed.value;
  }
  return checked_value(sum, whole, dimension);
}

ParsedPressure parse_pressure(std::string_view text) {
  const std::string_view whole = trimmed(text);
  const SplitPressure split = split_at_word(whole).value_or(split_at_letter(whole));
  ParsedPressure pressure{parse_quantity(split.quantity, Dimension::pressure), split.kind};
  if (pressure.kind == PressureKind::absolute && pressure.parsed.value.value_or(0) < 0) {
    pressure.parsed = refused(fmt::format("\"{}\" is below vacuum", whole),
                              R"(write for example "103 kPa abs" or "15 psi gauge")");
  }
  return pressure;
}

std::optional<double> parse_number(std::string_view text) {
  const auto number = number_ahead(text);
  if (!number || number->too_large || number->size != text.size()) return std::nullopt;
  return number->value;
}

} // namespace coldbag
