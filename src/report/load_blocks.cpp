#include "report/load_blocks.h"

#include "quantity/print.h"
#include "report/figures.h"
#include "report/heating_text.h"
#include "report/layout.h"

#include <fmt/format.h>

#include <utility>

namespace coldbag {

namespace {

std::string lag_text(const std::optional<double>& minutes, const Words& words) {
  return minutes ? print_duration(*minutes * 60) : words.text("lag_not_reached");
}

std::string factor_text(double factor) {
  return fmt::format("{:.2f}", factor);
}

std::string learned_text(double factor, bool is_learned, const Words& words) {
  return factor_text(factor) + " " + words.text(is_learned ? "heating_learned" : "heating_from_table");
}

std::string slowest_lag_text(const UnprobedBag& slowest, const Words& words) {
  if (!slowest.lag_minutes) return words.text("slowest_lag_not_reached");
  return words.text("slowest_lag", {{"lag_minutes", print_duration(*slowest.lag_minutes * 60)}});
}

std::string slowest_line(const UnprobedBag& slowest, const std::string& evidence, const Words& words) {
  return words.text("slowest_bag", {{"count", std::to_string(slowest.count)},
                                    {"bag", clean(slowest.bag)},
                                    {"F_minutes", F_text(slowest.F_minutes)},
                                    {"F_lower_minutes", F_bound_text(slowest.F_minutes_lower)},
                                    {"hold_minutes", hold_text(slowest.hold_minutes)},
                                    {"hold_lower_minutes", hold_text(slowest.hold_minutes_lower)},
                                    {"lag", slowest_lag_text(slowest, words)},
                                    {"evidence", evidence}});
}

/// A record may hold a key of another version.
std::string known(const Words& words, const std::string& key) {
  return words.has(key) ? words.text(key) : clean(key);
}

const BagHeating* heating_of(const RunReport& report, const std::string& bag) {
  for (const BagHeating& kind : report.heating)
    if (kind.bag == bag) return &kind;
  return nullptr;
}

std::string list_of(const std::vector<double>& figures) {
  std::string out;
  for (const double each : figures)
    out += fmt::format("{}{:.4f}", out.empty() ? "" : ", ", each);
  return out;
}

std::string evidence_text(const BagHeating& kind, const Words& words) {
  if (kind.evidence == "pattern")
    return words.text("heating_by_pattern", {{"count", std::to_string(kind.earlier_runs)}});
  if (kind.evidence == "fitted")
    return words.text("heating_fitted", {{"count", std::to_string(kind.probed)}});
  if (!kind.not_fitted.empty()) return known(words, kind.not_fitted);
  return words.text("heating_one_probe");
}

Blocks probe_items(const RunReport& report, const ProbeHeating& probe, const Words& words) {
  const std::string line =
      words.text("heating_probe", {{"probe", clean(probe.probe)},
                                   {"lag_minutes", lag_text(probe.lag_minutes, words)},
                                   {"expected_minutes", lag_text(probe.expected_minutes, words)},
                                   {"lower_minutes", lag_text(probe.expected_lower_minutes, words)},
                                   {"upper_minutes", lag_text(probe.expected_upper_minutes, words)},
                                   {"fitted_minutes", lag_text(probe.fitted_minutes, words)},
                                   {"fitted_lower_minutes", lag_text(probe.fitted_lower_minutes, words)},
                                   {"fitted_upper_minutes", lag_text(probe.fitted_upper_minutes, words)},
                                   {"speed", factor_text(probe.speed)},
                                   {"speed_sd", factor_text(probe.speed_sd)},
                                   {"rms_K", fmt::format("{:.2f}", probe.rms_K)}});
  Blocks out{Item{line}};
  if (const std::string remark = remark_text(report, words, probe); !remark.empty())
    out.push_back(Item{remark});
  return out;
}

std::string described_text(const RunReport& report, const BagHeating& kind, const Words& words) {
  return words.text("heating_described", {{"description", bag_description(words, kind.described)},
                                          {"mass_kg", print_mass(kind.mass_kg, report.units)},
                                          {"moisture", fmt::format("{:.1f} %", 100 * kind.moisture_wb)}});
}

std::string kind_head(const BagHeating& kind, const Words& words) {
  return words.text("heating_kind", {{"bag", clean(kind.bag)},
                                     {"count", std::to_string(kind.count)},
                                     {"probed", std::to_string(kind.probed)},
                                     {"evidence", evidence_text(kind, words)}});
}

std::string multipliers_text(const BagHeating& kind, const Words& words) {
  return words.text("heating_multipliers",
                    {{"conductivity", learned_text(kind.conductivity, kind.conductivity_learned, words)},
                     {"vapour", learned_text(kind.vapour, kind.vapour_learned, words)},
                     {"film", learned_text(kind.film, kind.film_learned, words)},
                     {"rms_K", fmt::format("{:.2f}", kind.rms_K)}});
}

Blocks kind_items(const RunReport& report, const BagHeating& kind, const Words& words) {
  Blocks out{Item{kind_head(kind, words)}, Item{described_text(report, kind, words)}};
  const auto add = [&](std::string text) { out.push_back(Item{std::move(text)}); };
  for (std::string& line : learned_items(kind, words))
    add(std::move(line));
  if (!kind.not_fitted.empty() && kind.rms_K > 0) add(multipliers_text(kind, words));
  if (kind.covariance.size() == 6 && kind.lag_powers.size() == 3)
    add(words.text("heating_doubt",
                   {{"covariance", list_of(kind.covariance)}, {"powers", list_of(kind.lag_powers)}}));
  add(words.text("heating_spread", {{"spread", fmt::format("{:.3f}", kind.spread)},
                                    {"freedom", fmt::format("{:.1f}", kind.spread_freedom)}}));
  for (const ProbeHeating& probe : kind.probes)
    append(out, probe_items(report, probe, words));
  if (kind.slowest) {
    add(slowest_line(*kind.slowest, evidence_text(kind, words), words));
    add(words.text("heating_slowest_speed", {{"speed", factor_text(kind.slowest->speed)}}));
    if (kind.slowest->more_minutes)
      add(words.text("heating_more",
                     {{"more_minutes", print_duration_up(*kind.slowest->more_minutes * 60)}}));
  }
  for (const Said& assumption : kind.assumptions)
    add(words.text("heating_assumed", {{"assumption", said_text(words, report, assumption)}}));
  return out;
}

} // namespace

Blocks kind_blocks(const RunReport& report, const BagHeating& kind, const Words& words) {
  return {Paragraph{kind_head(kind, words)}, Paragraph{described_text(report, kind, words)}};
}

std::vector<std::string> learned_items(const BagHeating& kind, const Words& words) {
  std::vector<std::string> out;
  if (!kind.not_fitted.empty() && kind.evidence != "model") out.push_back(known(words, kind.not_fitted));
  if (kind.not_fitted.empty())
    out.push_back(multipliers_text(kind, words));
  else if (kind.rms_K > 0)
    out.push_back(words.text("heating_refused", {{"rms_K", fmt::format("{:.2f}", kind.rms_K)}}));
  std::string far;
  const auto add_far = [&](bool is_far, const char* key) {
    if (is_far) far += (far.empty() ? "" : ", ") + words.text(key);
  };
  add_far(kind.conductivity_far, "heating_conductivity");
  add_far(kind.vapour_far, "heating_vapour");
  add_far(kind.film_far, "heating_film");
  if (!far.empty()) out.push_back(words.text("heating_far", {{"which", far}}));
  if (kind.earlier_runs > 0)
    out.push_back(words.text("heating_earlier", {{"runs", std::to_string(kind.earlier_runs)},
                                                 {"bags", std::to_string(kind.earlier_bags)}}));
  return out;
}

std::string pattern_text(const RunReport& report, const Words& words) {
  const PatternUse& pattern = *report.pattern;
  const std::string name = clean(pattern.name);
  const std::string runs = std::to_string(pattern.runs);
  const std::string last = pattern.last ? print_iso_wall(*pattern.last).substr(0, 10) : "";
  if (!pattern.why_not)
    return words.text("pattern_proven", {{"pattern", name}, {"runs", runs}, {"last", last}});
  return words.text("pattern_not_proven",
                    {{"pattern", name}, {"runs", runs}, {"why", said_text(words, report, *pattern.why_not)}});
}

Blocks slowest_bag_blocks(const RunReport& report, const Words& words) {
  if (report.load_not_judged) {
    if (report.load_not_judged->key == "load_not_described") return {};
    return {Paragraph{said_text(words, report, *report.load_not_judged)}};
  }
  Blocks out;
  if (report.slowest_unprobed) {
    const BagHeating* kind = heating_of(report, report.slowest_unprobed->bag);
    out.push_back(
        Paragraph{slowest_line(*report.slowest_unprobed, kind ? evidence_text(*kind, words) : "", words)});
  }
  if (report.pattern) out.push_back(Paragraph{pattern_text(report, words)});
  return out;
}

std::string why_unprobed(const RunReport& report, const Words& words, const CriterionResult& criterion) {
  const BagHeating* kind = heating_of(report, criterion.decided_by);
  const int count = kind != nullptr && kind->slowest ? kind->slowest->count : 0;
  return words.text("why_unproven_unprobed",
                    {{"criterion", criterion_name(words, criterion.name)},
                     {"count", std::to_string(count)},
                     {"bag", clean(criterion.decided_by)},
                     {"required", amount(report, criterion, criterion.required, false)},
                     {"bound", amount(report, criterion, criterion.bound.value_or(0), true)},
                     {"evidence", kind != nullptr ? evidence_text(*kind, words) : ""}});
}

Blocks heating_blocks(const RunReport& report, const Words& words) {
  Blocks items;
  for (const BagHeating& kind : report.heating)
    append(items, kind_items(report, kind, words));
  return under({words.text("heading_heating")}, std::move(items));
}

} // namespace coldbag
