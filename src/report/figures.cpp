#include "report/figures.h"

#include "report/layout.h"
#include "run/moment_text.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace coldbag {

namespace {

/// From here on nobody reads single minutes, and no column has room for them.
constexpr double large_F_minutes = 1e6;

/// "7.40e8"
std::string with_exponent(double value) {
  const std::string text = fmt::format("{:.2e}", value);
  const std::size_t e = text.find('e');
  return text.substr(0, e + 1) + std::to_string(std::stoi(text.substr(e + 1)));
}

double three_digits_below(double value) {
  const double step = std::pow(10, std::floor(std::log10(value)) - 2);
  return std::floor(value / step) * step;
}

} // namespace

std::string F_text(double minutes) {
  if (minutes >= large_F_minutes) return with_exponent(minutes) + " min";
  if (minutes >= 1000) return print_grouped(minutes) + " min";
  return print_fixed(minutes, minutes < 10 ? 2 : 1) + " min";
}

std::string F_bound_text(double minutes) {
  if (minutes >= large_F_minutes) return F_text(three_digits_below(minutes));
  return F_text(minutes < 1000 ? std::floor(minutes * 100) / 100 : std::floor(minutes));
}

std::string hold_text(double minutes) {
  return print_duration(std::floor(minutes) * 60);
}

std::string hold_or_dash(double minutes) {
  return minutes > 0 ? hold_text(minutes) : "-";
}

std::string gaps_text(std::int64_t gaps, const Words& words) {
  return gaps == 1 ? words.text("log_gap") : words.text("log_gaps", {{"count", std::to_string(gaps)}});
}

std::string temperature_or_dash(const RunReport& report, const std::optional<double>& degC) {
  return degC ? print_temperature(*degC, report.units) : "-";
}

std::string moment_or_dash(const RunReport& report, const std::optional<double>& at_s) {
  return at_s ? moment_for_people(report.clock, *at_s) : "-";
}

std::string amount(const RunReport& report, const CriterionResult& c, double value, bool against) {
  if (c.unit == "minutes") {
    if (c.name.find("lethality") != std::string::npos)
      return against ? print_against(value, c.required, c.sense, 1) + " min" : F_text(value);
    // A hold is never told longer than it was.
    const double told = c.sense == Sense::at_least ? std::floor(value) : value;
    return against ? print_duration_against(told * 60, c.required * 60, c.sense) : print_duration(told * 60);
  }
  if (c.unit == "degC")
    return against && report.units == UnitSystem::metric ? print_against(value, c.required, c.sense, 1) + " C"
                                                         : print_temperature(value, report.units);
  if (c.unit == "K") return print_temperature_difference(value, report.units);
  if (c.unit == "fraction") return fmt::format("{:.1f} %", value * 100);
  return print_fixed(value, 2);
}

std::string criterion_name(const Words& words, const std::string& name) {
  const std::string key = "criterion_" + name;
  return words.has(key) ? words.text(key) : clean(name);
}

std::string role_name(const Words& words, ProbeRole role) {
  return words.text(fmt::format("role_{}", role_text(role)));
}

std::string bag_description(const Words& words, const std::string& described) {
  const std::size_t of = described.find(" of ");
  const std::size_t first = described.find(", ");
  const std::size_t second = first == std::string::npos ? first : described.find(", ", first + 2);
  if (of >= first || second == std::string::npos) return clean(described);
  return clean(
      words.text("bag_description",
                 {{"form", named(words, "form", described.substr(0, of))},
                  {"material", named(words, "substrate", described.substr(of + 4, first - of - 4))},
                  {"closure", named(words, "closure", described.substr(first + 2, second - first - 2))},
                  {"neighbours", named(words, "neighbours", described.substr(second + 2))}}));
}

std::string values_text(const RunReport& report, const SaidValues& values) {
  std::string out;
  for (const auto& [name, value] : values) {
    const double* number = std::get_if<double>(&value);
    const std::string text =
        number != nullptr ? value_text(report, name, *number) : clean(std::get<std::string>(value));
    if (!text.empty()) out += fmt::format("; {} {}", clean(name), text);
  }
  return out;
}

std::string edition_text(const Words& words, const Edition& edition) {
  return fmt::format("{} ({}) sha256 {}", edition.name, named(words, "origin", edition.origin),
                     edition.sha256.substr(0, 16));
}

const ProbeResult* find_probe(const RunReport& report, const std::string& name) {
  const auto found = std::find_if(report.probes.begin(), report.probes.end(),
                                  [&](const ProbeResult& probe) { return probe.name == name; });
  return found == report.probes.end() ? nullptr : &*found;
}

} // namespace coldbag
