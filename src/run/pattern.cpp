#include "run/pattern.h"

#include <algorithm>
#include <cmath>
#include <set>
#include <string>
#include <utility>

namespace coldbag {

namespace {

constexpr double us_per_day = 86400e6;

const Pattern* named_pattern(const RunInput& input) {
  if (!input.site || !input.run_file || !input.run_file->pattern.known()) return nullptr;
  const auto found = std::ranges::find(input.site->patterns, *input.run_file->pattern.value, &Pattern::name);
  return found == input.site->patterns.end() ? nullptr : &*found;
}

/// Either what was loaded, or why it is not what the pattern says.
struct AsLoaded {
  std::optional<ShownPattern> loaded;
  std::optional<Said> differs;
};

AsLoaded as_loaded(const RunInput& input, const Pattern& pattern) {
  const auto not_it = [](const char* key, SaidValues values = {}) {
    return AsLoaded{std::nullopt, Said{key, std::move(values)}};
  };
  if (!input.load || input.load->lines.empty()) return not_it("pattern_no_load");
  if (pattern.vessel.known() && (!input.vessel || input.vessel->name != *pattern.vessel.value))
    return not_it("pattern_other_vessel");
  ShownPattern out;
  out.name = pattern.name;
  out.vessel = pattern.vessel.value.value_or("");
  out.stacking = pattern.stacking.value.value_or("");
  out.bag = input.load->lines.front().bag;
  std::set<std::pair<double, double>> descriptions;
  for (const LoadLine& line : input.load->lines) {
    if (line.bag != out.bag) return not_it("pattern_several_kinds");
    out.count += line.count;
    const auto bag = std::ranges::find(input.bags, line.bag, &Bag::name);
    if (bag == input.bags.end()) return not_it("pattern_no_load");
    const auto mass_kg = line.mass_kg ? line.mass_kg : bag->mass_kg.value;
    const auto moisture_wb = line.moisture_wb ? line.moisture_wb : bag->moisture_wb.value;
    if (!mass_kg || !moisture_wb) return not_it("pattern_not_described");
    descriptions.emplace(*mass_kg, *moisture_wb);
  }
  if (pattern.bag.known() && out.bag != *pattern.bag.value) return not_it("pattern_other_bag");
  if (descriptions.size() > 1) return not_it("pattern_mixed");
  if (pattern.count.known() && out.count != *pattern.count.value)
    return not_it("pattern_other_count", {{"load_count", static_cast<double>(out.count)},
                                          {"pattern_count", static_cast<double>(*pattern.count.value)}});
  out.mass_kg = descriptions.begin()->first;
  out.moisture_wb = descriptions.begin()->second;
  return {out, std::nullopt};
}

/// The day of the run, to a day or so where its clock has a zone.
std::optional<WallTime> day_of(const RunClock& clock) {
  if (clock.start_wall) return clock.start_wall;
  if (clock.start) return WallTime{clock.start->time_since_epoch().count()};
  return std::nullopt;
}

std::optional<Said> missing(const RunInput& input, const ShownPattern& loaded, const LearnedPattern* shown) {
  const HeatingFigures& figures = input.heating->figures;
  const auto moisture = [](double of_one) { return std::round(of_one * 1e6); };
  if (shown == nullptr) return Said{"pattern_not_shown", {}};
  if (!is_same_load(*shown, loaded)) return Said{"pattern_changed", {}};
  if (moisture(loaded.moisture_wb) < moisture(shown->lowest_moisture_wb) ||
      moisture(loaded.moisture_wb) > moisture(shown->highest_moisture_wb))
    return Said{
        "pattern_other_moisture",
        {{"lowest_fraction", shown->lowest_moisture_wb}, {"highest_fraction", shown->highest_moisture_wb}}};
  if (shown->runs < figures.pattern_runs)
    return Said{"pattern_few_runs", {{"needed_count", figures.pattern_runs}}};
  const auto day = day_of(input.clock);
  if (!day) return Said{"pattern_no_date", {}};
  const double days = std::abs(static_cast<double>(day->us - shown->last.us)) / us_per_day;
  if (days > figures.pattern_days) return Said{"pattern_long_ago", {{"back_count", std::floor(days)}}};
  return std::nullopt;
}

} // namespace

std::optional<PatternUse> pattern_use(const RunInput& input) {
  const Pattern* pattern = named_pattern(input);
  if (pattern == nullptr || !input.heating) return std::nullopt;
  PatternUse use;
  use.name = pattern->name;
  const LearnedPattern* shown = nullptr;
  if (input.learned)
    for (const LearnedPattern& each : input.learned->patterns)
      if (each.name == pattern->name) shown = &each;
  if (shown != nullptr) {
    use.runs = shown->runs;
    use.last = shown->last;
  }
  const AsLoaded load = as_loaded(input, *pattern);
  use.why_not = load.loaded ? missing(input, *load.loaded, shown) : load.differs;
  use.is_proven = !use.why_not;
  return use;
}

std::optional<ShownPattern> pattern_as_loaded(const RunInput& input) {
  const Pattern* pattern = named_pattern(input);
  if (pattern == nullptr) return std::nullopt;
  return as_loaded(input, *pattern).loaded;
}

} // namespace coldbag
