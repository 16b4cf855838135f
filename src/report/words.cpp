#include "report/words.h"

#include "errors/our_fault.h"
#include "run/moment_text.h"
#include "tables/table.h"

#include <fmt/format.h>

#include <array>
#include <cmath>

namespace coldbag {

namespace {

bool ends_with(std::string_view name, std::string_view end) {
  return name.size() >= end.size() && name.substr(name.size() - end.size()) == end;
}

} // namespace

Words Words::read(const TableFiles& tables, std::string_view language) {
  const std::string file = fmt::format("words-{}.csv", language);
  static constexpr std::array<ColumnRule, 2> rules{
      {{"key", CellKind::text, true}, {"text", CellKind::text, true}}};
  Words words;
  const Table table = Table::read(tables.source_name(file), tables.bytes(file), rules);
  for (const TableRow& row : table.rows())
    words.texts_.emplace(row.key(), row.text("text"));
  return words;
}

bool Words::has(std::string_view key) const {
  return texts_.find(key) != texts_.end();
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
  if (ends_with(name, "_days")) return fmt::format("{:.0f} days", value);
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

template <class Of>
std::string said_of(const Words& words, const Of& of, const Said& said) {
  std::map<std::string, std::string> values;
  for (const auto& [name, value] : said.values) {
    const double* number = std::get_if<double>(&value);
    values[name] = number != nullptr ? value_text(of, name, *number) : std::get<std::string>(value);
    if (name == "fault") values[name] = words.text(fmt::format("fault_name_{}", values[name]));
    if (name == "event") values[name] = words.text(fmt::format("event_{}", values[name]));
    if (name == "form") values[name] = words.text(fmt::format("form_{}", values[name]));
    if (name == "side") values[name] = words.text(fmt::format("side_{}", values[name]));
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
