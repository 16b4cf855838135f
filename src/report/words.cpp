#include "report/words.h"

#include "errors/our_fault.h"
#include "run/moment_text.h"
#include "tables/table.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <cmath>
#include <optional>
#include <utility>

namespace coldbag {

namespace {

bool ends_with(std::string_view name, std::string_view end) {
  return name.size() >= end.size() && name.substr(name.size() - end.size()) == end;
}

constexpr std::string_view retold_family = "found_by_";

std::map<std::string, std::string, std::less<>> texts_of(const TableFiles& tables,
                                                         std::string_view language) {
  const std::string file = fmt::format("words-{}.csv", language);
  static constexpr std::array<ColumnRule, 2> rules{
      {{"key", CellKind::text, true}, {"text", CellKind::text, true}}};
  std::map<std::string, std::string, std::less<>> texts;
  const Table table = Table::read(tables.source_name(file), tables.bytes(file), rules);
  for (const TableRow& row : table.rows())
    texts.emplace(row.key(), row.text("text"));
  return texts;
}

/// What stands in the places of a pattern, where a text was made of it.
struct Match {
  std::map<std::string, std::string> values;
  std::size_t letters = 0; ///< of the pattern itself: the more, the surer
};

std::optional<Match> matched(std::string_view pattern, std::string_view text) {
  Match match;
  std::string place;
  for (;;) {
    const std::size_t open = std::min(pattern.find('{'), pattern.size());
    const std::string_view part = pattern.substr(0, open);
    const bool is_last = open == pattern.size();
    const std::size_t at = place.empty() ? 0
                           : is_last     ? text.size() - std::min(part.size(), text.size())
                                         : std::min(text.find(part), text.size());
    if (text.substr(at, part.size()) != part || (is_last && at + part.size() != text.size()))
      return std::nullopt;
    if (!place.empty()) match.values[place] = text.substr(0, at);
    match.letters += part.size();
    if (is_last) return match;
    text.remove_prefix(at + part.size());
    const std::size_t close = pattern.find('}', open);
    place = pattern.substr(open + 1, close - open - 1);
    pattern.remove_prefix(close + 1);
  }
}

/// Places that hold a sentence of the same kind.
bool is_retold(std::string_view place) {
  return place == "because" || place == "marks" || place == "order" || place == "what";
}

} // namespace

Words Words::read(const TableFiles& tables, std::string_view language) {
  Words words;
  words.language_ = std::string(language);
  words.texts_ = texts_of(tables, language);
  if (language == "en") return words;
  words.errors_ = ErrorWords::read(tables, language);
  words.english_ = texts_of(tables, "en");
  std::erase_if(words.english_, [](const auto& text) { return !text.first.starts_with(retold_family); });
  return words;
}

std::string Words::retold(const std::string& english) const {
  std::optional<Match> best;
  std::string_view key;
  for (const auto& [each, pattern] : english_)
    if (auto match = matched(pattern, english); match && (!best || match->letters > best->letters)) {
      best = std::move(match);
      key = each;
    }
  if (best) {
    for (auto& [place, value] : best->values)
      if (is_retold(place)) value = retold(value);
    return text(key, best->values);
  }
  const std::size_t end = english.find("; ");
  if (english_.empty() || end == std::string::npos) return english;
  return retold(english.substr(0, end)) + "; " + retold(english.substr(end + 2));
}

bool Words::has(std::string_view key) const {
  return texts_.find(key) != texts_.end();
}

bool Words::tells(std::string_view key, std::string_view value) const {
  const auto text = texts_.find(key);
  return text != texts_.end() && text->second.find(fmt::format("{{{}}}", value)) != std::string::npos;
}

std::string Words::text(std::string_view key, const std::map<std::string, std::string>& values) const {
  const auto found = texts_.find(key);
  if (found == texts_.end()) throw OurFault(fmt::format("the catalogue of words has no key {}", key));
  std::string out;
  const std::string& pattern = found->second;
  for (std::size_t at = 0; at < pattern.size();) {
    const std::size_t open = pattern.find('{', at);
    out += pattern.substr(at, open - at);
    if (open == std::string::npos) break;
    const std::size_t close = pattern.find('}', open);
    our_check(close != std::string::npos, "a place in a text of the catalogue is closed");
    const auto value = values.find(pattern.substr(open + 1, close - open - 1));
    if (value == values.end())
      throw OurFault(fmt::format("the text {} has a place without a value: {}", key,
                                 pattern.substr(open, close - open + 1)));
    out += value->second;
    at = close + 1;
  }
  return out;
}

std::string key_of_name(std::string_view family, std::string_view name) {
  std::string key = fmt::format("{}_", family);
  for (const char c : name) {
    if (std::isalnum(static_cast<unsigned char>(c)) != 0)
      key += static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
    else if (!key.ends_with('_'))
      key += '_';
  }
  if (key.ends_with('_')) key.pop_back();
  return key;
}

std::string named(const Words& words, std::string_view family, std::string_view name) {
  const std::string key = key_of_name(family, name);
  return words.has(key) ? words.text(key) : std::string(name);
}

std::string value_text(UnitSystem units, std::string_view name, double value) {
  if (name == "more_minutes") return print_duration_up(value * 60);
  if (ends_with(name, "F_minutes")) return print_fixed(value, value < 10 ? 2 : 1) + " min";
  if (ends_with(name, "_minutes")) return print_duration(value * 60);
  if (name == "setpoint_degC") return print_setpoint(value, units);
  if (ends_with(name, "_degC")) return print_temperature(value, units);
  if (ends_with(name, "u_K")) return print_temperature_difference(value, units, 2);
  if (ends_with(name, "_K")) return print_temperature_difference(value, units);
  if (ends_with(name, "_tenth_percent")) return fmt::format("{:.1f} %", value * 100);
  if (ends_with(name, "_percent")) return fmt::format("{:.0f} %", std::floor(value * 100));
  if (ends_with(name, "_ppm")) return fmt::format("{:.0f} ppm", value);
  if (ends_with(name, "_days")) return fmt::format("{:.0f}", value);
  if (ends_with(name, "_kg")) return print_mass(value, units);
  if (ends_with(name, "_s")) return value < 10 ? print_fixed(value, 1) + " s" : print_duration(value);
  if (ends_with(name, "_fraction")) return fmt::format("{:.0f} %", value * 100);
  if (ends_with(name, "_Pa")) return print_pressure(value, units);
  if (ends_with(name, "altitude_m")) return print_altitude(value, units);
  if (ends_with(name, "_m")) return print_length(value, units);
  if (ends_with(name, "_W_per_m2K")) return print_transmittance(value, units);
  if (ends_with(name, "_m2")) return print_area(value, units);
  if (ends_with(name, "volume_m3")) return print_volume(value, units);
  if (ends_with(name, "_W")) return print_power(value, units);
  if (ends_with(name, "_J")) return print_energy(value);
  if (ends_with(name, "_kg_per_s")) return print_mass_rate(value, units);
  if (ends_with(name, "kg_per_m3")) return fmt::format("{:.0f} kg/m3", value);
  return fmt::format("{:g}", value);
}

std::string value_text(const RunReport& report, std::string_view name, double value) {
  if (ends_with(name, "until_at")) return moment_for_people(report.clock, value, 5);
  if (ends_with(name, "_at")) return moment_for_people(report.clock, value);
  return value_text(report.units, name, value);
}

namespace {

/// Values that are words of the program: by the value's name, the families that may know it.
constexpr std::array<std::pair<std::string_view, std::string_view>, 12> families_of_values{
    {{"basis", "basis"},
     {"criterion", "criterion"},
     {"event", "event"},
     {"fault", "fault_name"},
     {"form", "form"},
     {"fuel", "fuel"},
     {"name", "metal"},
     {"name", "reference"},
     {"name", "substrate"},
     {"name", "treatment"},
     {"organism", "organism"},
     {"side", "side"}}};

std::string word_of_value(const Words& words, std::string_view name, const std::string& value) {
  for (const auto& [of, family] : families_of_values)
    if (of == name)
      if (std::string word = named(words, family, value); word != value) return word;
  return value;
}

template <class Of>
std::string said_of(const Words& words, const Of& of, const Said& said) {
  std::map<std::string, std::string> values;
  for (const auto& [name, value] : said.values) {
    const double* number = std::get_if<double>(&value);
    values[name] = number != nullptr ? value_text(of, name, *number)
                                     : word_of_value(words, name, std::get<std::string>(value));
    if (name == "problem") values[name] = words.errors().retold(values[name]);
  }
  if (words.has(said.key)) return words.text(said.key, values);
  values["name"] = said.key.substr(said.key.find('_') + 1);
  values.try_emplace("probe", "");
  return words.text("caution_other", values);
}

} // namespace

std::string said_text(const Words& words, const RunReport& report, const Said& said) {
  return said_of(words, report, said);
}

std::string said_text(const Words& words, UnitSystem units, const Said& said) {
  return said_of(words, units, said);
}

} // namespace coldbag
