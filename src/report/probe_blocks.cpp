#include "report/probe_blocks.h"

#include "kinetics/exposure.h"
#include "report/figures.h"
#include "report/layout.h"
#include "run/moment_text.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <string>
#include <utility>

namespace coldbag {

namespace {

constexpr double most_decades_shown = 20; // past them a figure says nothing more

std::string band_text(std::size_t band, const Words& words) {
  const auto edge = [](std::size_t i) { return fmt::format("{:g}", band_edges_degC[i]); };
  if (band == 0) return words.text("band_below", {{"to_degC", edge(0)}});
  if (band == band_edges_degC.size()) return words.text("band_from", {{"from_degC", edge(band - 1)}});
  return words.text("band_between", {{"from_degC", edge(band - 1)}, {"to_degC", edge(band)}});
}

std::string bands_text(const ProbeResult& p, const Words& words) {
  std::string bands;
  for (std::size_t i = 0; i < p.F_minutes_by_band.size(); ++i)
    bands += (bands.empty() ? "" : ", ") + band_text(i, words) + " " + F_text(p.F_minutes_by_band[i]);
  return words.text("full_bands", {{"bands", bands}});
}

// Where nothing was judged, F of the probes is what the first of the treatments counts.
std::string reference_text(const RunReport& report, const Words& words) {
  if (report.verdict)
    return words.text("full_reference", {{"name", named(words, "reference", clean(report.reference.name))},
                                         {"at_degC", fmt::format("{:g}", report.reference.at_degC)},
                                         {"z_K", fmt::format("{:g}", report.reference.z_K)}});
  if (report.would_need.empty()) return words.text("table_lethality");
  return words.text("full_lethality_of_first",
                    {{"treatment", named(words, "treatment", clean(report.would_need.front().name))}});
}

std::string F_values_text(const RunReport& report, const ProbeResult& p, const Words& words) {
  return words.text("full_lethality", {{"reference", reference_text(report, words)},
                                       {"F_minutes", F_text(p.F_minutes)},
                                       {"F_minutes_all", F_text(p.F_minutes_all)},
                                       {"F_minutes_lower", F_text(p.F_minutes_lower)},
                                       {"F_minutes_after", F_text(p.F_minutes_after_steam_off)}});
}

Blocks times_items(const RunReport& report, const ProbeResult& p, const Words& words) {
  Blocks out{
      Item{words.text("full_temperatures", {{"hot_at", moment_or_dash(report, p.hot_at_s)},
                                            {"top_degC", temperature_or_dash(report, p.top_degC)},
                                            {"near_top_at", moment_or_dash(report, p.near_top_at_s)},
                                            {"last_degC", temperature_or_dash(report, p.last_degC)}})}};
  if (p.stayed_from_s && p.stayed_to_s)
    out.push_back(
        Item{words.text("full_stayed", {{"from_at", moment_for_people(report.clock, *p.stayed_from_s)},
                                        {"to_at", moment_for_people(report.clock, *p.stayed_to_s)}})});
  return out;
}

std::string fault_text(const RunReport& report, const Fault& fault, const Words& words) {
  return words.text("full_fault", {{"kind", clean(fault.kind)},
                                   {"from_at", moment_for_people(report.clock, fault.from_s)},
                                   {"to_at", moment_for_people(report.clock, fault.to_s)}}) +
         " " + words.text(fmt::format("full_effect_{}", effect_text(fault.effect))) +
         values_text(report, fault.values);
}

std::string holds_text(const ProbeResult& p, const Words& words) {
  return words.text("full_hold", {{"hold_minutes", hold_text(p.hold_minutes)},
                                  {"hold_minutes_lower", hold_text(p.hold_minutes_lower)},
                                  {"hold_total_minutes", hold_text(p.hold_total_minutes)},
                                  {"strict_hold_minutes", hold_text(p.strict_hold_minutes)},
                                  {"not_credited_minutes", print_duration(p.not_credited_minutes * 60)},
                                  {"unseen_minutes", print_duration(p.hold_unseen_minutes * 60)},
                                  {"gaps", std::to_string(p.hold_unseen_gaps)}});
}

std::string correction_text(const RunReport& report, const ProbeResult& p, const Words& words) {
  std::string text = words.text("full_correction", {{"correction_K", fmt::format("{:+.2f}", p.correction_K)},
                                                    {"gain", print_fixed(p.gain, 6)},
                                                    {"sign", p.offset_K < 0 ? "-" : "+"},
                                                    {"offset_K", print_fixed(std::abs(p.offset_K), 6)}});
  if (p.checked_on)
    text += "; " + words.text("full_checked_on", {{"date", print_iso_wall(*p.checked_on).substr(0, 10)}});
  if (p.top_raw_degC && p.top_degC)
    text +=
        "; " + words.text("full_top_raw", {{"raw_degC", print_temperature(*p.top_raw_degC, report.units, 2)},
                                           {"top_degC", print_temperature(*p.top_degC, report.units, 2)}});
  return text;
}

std::string uncertainty_text(const ProbeResult& p, const Words& words) {
  const ProbeErrorParts& u = p.u_parts;
  const std::array<std::pair<std::string, double>, 8> parts{
      {{words.text("u_part_check"), u.check_K},
       {words.text("u_part_class"), u.class_K},
       {words.text("u_part_given"), u.given_K},
       {words.text("u_part_extrapolation"), u.extrapolation_K},
       {words.text("u_part_drift"), u.drift_K},
       {words.text("u_part_age"), u.age_K},
       {words.text("u_part_resolution"), u.resolution_K},
       {words.text("u_part_stem"), u.stem_K}}};
  std::string of;
  for (const auto& [name, K] : parts)
    if (K > 0) of += fmt::format("{}{} {:.2f} K", of.empty() ? ": " : ", ", name, K);
  return words.text("full_uncertainty", {{"u_K", fmt::format("{:.2f}", p.u_K)},
                                         {"from", (p.u_from.empty() ? "-" : words.text(p.u_from)) + of},
                                         {"noise_K", fmt::format("{:.2f}", p.noise_K)}});
}

std::string decades_text(double decades, const Words& words) {
  return decades > most_decades_shown
             ? words.text("decades_over", {{"decades", fmt::format("{:g}", most_decades_shown)}})
             : print_fixed(std::floor(decades * 10) / 10, 1);
}

bool is_over_in_all(const OrganismResult& o) {
  return std::min({o.decades, o.decades_lower, o.decades_lower_z_less_one}) > most_decades_shown;
}

// Those of whom every figure is past what a figure says: their names, with what is said of each.
Blocks organisms_over(const ProbeResult& p, const Words& words, const std::string& mark) {
  std::string names;
  for (const OrganismResult& o : p.organisms) {
    if (!is_over_in_all(o)) continue;
    names += (names.empty() ? "" : "; ") + named(words, "organism", clean(o.name)) +
             (o.beyond_range ? mark : "") +
             (o.basis == "published" ? "" : " (" + named(words, "basis", o.basis) + ")");
  }
  if (names.empty()) return {};
  return {Paragraph{words.text(
      "record_over", {{"over", decades_text(most_decades_shown + 1, words)}, {"organisms", names}})}};
}

// A row for each organism; one kelvin less of z shows how much hangs on z.
Blocks organism_table(const ProbeResult& p, const Words& words, bool joins_over) {
  if (p.organisms.empty()) return {};
  const std::string mark = " *";
  Table table;
  table.indent = 2;
  table.columns = {{words.text("table_log_reductions"), 46, true, false, mark},
                   {words.text("table_estimate"), 9},
                   {words.text("table_at_least"), 9},
                   {words.text("table_z_one_less")}};
  bool any_beyond = false;
  for (const OrganismResult& o : p.organisms) {
    any_beyond = any_beyond || o.beyond_range;
    if (joins_over && is_over_in_all(o)) continue;
    table.rows.push_back({{named(words, "organism", clean(o.name)) + (o.beyond_range ? mark : ""),
                           decades_text(o.decades, words), decades_text(o.decades_lower, words),
                           decades_text(o.decades_lower_z_less_one, words)},
                          o.basis == "published" ? "" : named(words, "basis", o.basis)});
  }
  Blocks out;
  if (!table.rows.empty()) out.push_back(std::move(table));
  if (joins_over) append(out, organisms_over(p, words, mark));
  if (any_beyond) out.push_back(Paragraph{"* " + words.text("full_organism_beyond"), 4, Tone::plain, 2});
  return out;
}

} // namespace

Blocks probe_blocks(const RunReport& report, const ProbeResult& p, const Words& words, bool joins_over) {
  Blocks out{Heading{clean(p.name) + " (" + role_name(words, p.role) + ")", 3},
             Item{F_values_text(report, p, words)}, Item{bands_text(p, words)}, Item{holds_text(p, words)}};
  append(out, times_items(report, p, words));
  out.push_back(Item{correction_text(report, p, words)});
  out.push_back(Item{uncertainty_text(p, words)});
  for (const Fault& fault : p.faults)
    out.push_back(Item{fault_text(report, fault, words)});
  append(out, organism_table(p, words, joins_over));
  return out;
}

} // namespace coldbag
