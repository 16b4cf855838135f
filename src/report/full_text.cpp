#include "report/full_text.h"

#include "kinetics/exposure.h"
#include "report/figures.h"
#include "report/happenings_text.h"
#include "report/layout.h"
#include "report/load_text.h"
#include "run/moment_text.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>

namespace coldbag {

namespace {

constexpr double most_decades_shown = 20; // past them a figure says nothing more
constexpr double least_shown = 1e-6;      // and so it does below this

std::string required_amount(const RunReport& report, const CriterionResult& c, const Words& words) {
  std::string from = amount(report, c, c.required, false);
  if (!c.required_to) return from;
  return words.text("full_band", {{"from", from}, {"to", amount(report, c, *c.required_to, false)}});
}

std::string required_text(const RunReport& report, const CriterionResult& c, const Words& words) {
  const std::map<std::string, std::string> values = {{"criterion", criterion_name(words, c.name)},
                                                     {"required", required_amount(report, c, words)}};
  switch (c.sense) {
  case Sense::at_least:
    return words.text("full_at_least", values);
  case Sense::below:
    return words.text("full_below", values);
  default:
    return words.text("full_at_most", values);
  }
}

std::string delivered_text(const RunReport& report, const CriterionResult& c, const Words& words) {
  std::string out =
      c.delivered ? words.text("full_delivered",
                               {{"delivered", amount(report, c, *c.delivered, c.status != Status::met)}})
                  : words.text("full_not_measured");
  if (c.bound)
    out += ", " + words.text(c.bound_side == "upper" ? "full_upper_bound" : "full_lower_bound",
                             {{"bound", amount(report, c, *c.bound, true)}});
  return out;
}

std::string status_text(Status status, const Words& words) {
  switch (status) {
  case Status::met:
    return words.text("status_met");
  case Status::missed:
    return words.text("status_missed");
  default:
    return words.text("status_unproven");
  }
}

std::string criterion_line(const RunReport& report, const CriterionResult& c, const Words& words) {
  return item(fmt::format("{}; {}; {}; {}; {}, {}{}", required_text(report, c, words),
                          delivered_text(report, c, words), status_text(c.status, words),
                          words.text(c.fails ? "on_miss_fail" : "on_miss_caution"),
                          named(words, "evidence", c.evidence), named(words, "basis", basis_text(c.basis)),
                          c.source.empty() ? "" : " [" + c.source + "]"));
}

std::string criterion_lines(const RunReport& report, const std::vector<CriterionResult>& criteria,
                            const Words& words) {
  std::string out;
  for (const CriterionResult& criterion : criteria)
    out += criterion_line(report, criterion, words);
  return out;
}

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

std::string times_lines(const RunReport& report, const ProbeResult& p, const Words& words) {
  std::string out =
      item(words.text("full_temperatures", {{"hot_at", moment_or_dash(report, p.hot_at_s)},
                                            {"top_degC", temperature_or_dash(report, p.top_degC)},
                                            {"near_top_at", moment_or_dash(report, p.near_top_at_s)},
                                            {"last_degC", temperature_or_dash(report, p.last_degC)}}));
  if (p.stayed_from_s && p.stayed_to_s)
    out += item(words.text("full_stayed", {{"from_at", moment_for_people(report.clock, *p.stayed_from_s)},
                                           {"to_at", moment_for_people(report.clock, *p.stayed_to_s)}}));
  return out;
}

// The values that the words of a thing said have no place for, each by its name.
std::string values_text(const RunReport& report, const SaidValues& values) {
  std::string out;
  for (const auto& [name, value] : values) {
    const double* number = std::get_if<double>(&value);
    out += fmt::format("; {} {}", clean(name),
                       number != nullptr ? value_text(report, name, *number)
                                         : clean(std::get<std::string>(value)));
  }
  return out;
}

std::string fault_line(const RunReport& report, const Fault& fault, const Words& words) {
  return item(words.text("full_fault", {{"kind", clean(fault.kind)},
                                        {"from_at", moment_for_people(report.clock, fault.from_s)},
                                        {"to_at", moment_for_people(report.clock, fault.to_s)}}) +
              " " + words.text(fmt::format("full_effect_{}", effect_text(fault.effect))) +
              values_text(report, fault.values));
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

// Moist-heat figures are claimed for moist substrate alone.
std::string not_claimed_line(const RunReport& report, const Words& words) {
  const bool any_bag = std::any_of(report.probes.begin(), report.probes.end(),
                                   [](const ProbeResult& p) { return p.role == ProbeRole::bag; });
  const bool any_claimed = std::any_of(report.probes.begin(), report.probes.end(),
                                       [](const ProbeResult& p) { return !p.organisms.empty(); });
  return any_bag && !any_claimed ? item(words.text("full_no_log_reductions")) : "";
}

// A row for each organism; one kelvin less of z shows how much hangs on z.
std::string organism_table(const ProbeResult& p, const Words& words) {
  if (p.organisms.empty()) return "";
  std::string out = padded("  " + words.text("table_log_reductions"), 48) +
                    padded(words.text("table_estimate"), 9) + padded(words.text("table_at_least"), 9) +
                    words.text("table_z_one_less") + "\n";
  bool any_beyond = false;
  for (const OrganismResult& o : p.organisms) {
    any_beyond = any_beyond || o.beyond_range;
    out += "  " + padded(cut(named(words, "organism", o.name), 43) + (o.beyond_range ? " *" : ""), 46) +
           padded(decades_text(o.decades, words), 9) + padded(decades_text(o.decades_lower, words), 9) +
           decades_text(o.decades_lower_z_less_one, words) + "\n";
    if (o.basis != "published") out += "    " + named(words, "basis", o.basis) + "\n";
  }
  if (any_beyond) out += wrapped("  * " + words.text("full_organism_beyond"), 4);
  return out;
}

std::string few_text(double number, const Words& words) {
  return number > 0 && number < least_shown
             ? words.text("number_under", {{"number", fmt::format("{:g}", least_shown)}})
             : fmt::format("{:.2g}", number);
}

std::string survival_lines(const RunReport& report, const Words& words) {
  std::string out;
  for (const Survival& s : report.survival) {
    std::string line = words.text("full_survival", {{"count", fmt::format("{:.3g}", s.initial_count)},
                                                    {"organism", named(words, "organism", s.name)},
                                                    {"survivors", few_text(s.survivors_at_most, words)},
                                                    {"bags", std::to_string(s.bags)},
                                                    {"bad_bags", few_text(s.expected_bad_bags, words)}});
    if (s.beyond_range) line += "; " + words.text("full_organism_beyond");
    out += item(line);
  }
  return out.empty() ? out : "\n" + words.text("heading_survival") + "\n" + out;
}

std::string probe_lines(const RunReport& report, const ProbeResult& p, const Words& words) {
  std::string out = "\n" + wrapped(clean(p.name) + " (" + role_name(words, p.role) + ")", 2);
  out += item(F_values_text(report, p, words));
  out += item(bands_text(p, words));
  out += item(holds_text(p, words));
  out += times_lines(report, p, words);
  out += item(correction_text(report, p, words));
  out += item(uncertainty_text(p, words));
  for (const Fault& fault : p.faults)
    out += fault_line(report, fault, words);
  return out + organism_table(p, words);
}

std::string more_hold_lines(const RunReport& report, const Words& words) {
  const MoreHold& more = report.more_hold;
  std::string out =
      item(words.text(more.possible || !more.why_not ? "full_more_hold" : "full_more_hold_untold",
                      {{"minutes", print_duration(more.minutes * 60)}}));
  if (more.at_degC)
    out +=
        item(words.text("full_more_hold_at", {{"at_degC", print_temperature(*more.at_degC, report.units)}}));
  if (more.until_s)
    out += item(
        words.text("full_more_hold_until", {{"until_at", moment_for_people(report.clock, *more.until_s)}}));
  if (more.why_not)
    out += item(words.text(more.possible ? "full_more_hold_but" : "full_more_hold_not_possible",
                           {{"why_not", said_text(words, report, *more.why_not)}}));
  return out;
}

std::string site_lines(const RunReport& report, const Words& words) {
  std::string out;
  if (report.site_pressure_Pa)
    out += item(words.text("full_site_pressure",
                           {{"pressure_Pa", print_pressure(*report.site_pressure_Pa, report.units)}}));
  if (report.check_reaches_degC)
    out += item(words.text("full_check_reaches",
                           {{"reaches_degC", print_temperature(*report.check_reaches_degC, report.units)}}));
  if (report.steam_off_at_s)
    out += item(words.text(report.steam_off_stated ? "full_steam_off_stated" : "full_steam_off_seen",
                           {{"at", moment_for_people(report.clock, *report.steam_off_at_s)}}));
  return out;
}

// What the run file says of the run itself.
std::string run_file_lines(const RunReport& report, const Words& words) {
  std::string lots;
  for (const std::string& lot : report.lots)
    lots += (lots.empty() ? "" : ", ") + clean(lot);
  std::string out;
  const auto add = [&](const char* key, const char* name, const std::string& value) {
    if (!value.empty()) out += item(words.text(key, {{name, value}}));
  };
  add("resteam_of", "run", clean(report.resteam_of));
  add("full_by", "by", clean(report.run_by));
  add("full_lots", "lots", lots);
  add("full_run_notes", "notes", clean(report.run_notes));
  return out.empty() ? out : "\n" + words.text("heading_run_file") + "\n" + out;
}

std::string judgement_lines(const RunReport& report, const Words& words) {
  std::string out = "\n" + words.text("full_judged") + "\n";
  std::map<std::string, std::string> values = {
      {"setpoint_degC", print_setpoint(report.setpoint_degC, report.units)}};
  if (report.counts_from_degC)
    values["counts_from_degC"] = print_temperature(*report.counts_from_degC, report.units);
  out += item(words.text(report.counts_from_degC ? "full_setpoint_counts_from" : "full_setpoint", values));
  if (report.unseen_hold)
    out += item(words.text("full_unseen_hold", {{"probe", clean(report.unseen_hold->probe)},
                                                {"minutes", print_duration(report.unseen_hold->minutes * 60)},
                                                {"gaps", std::to_string(report.unseen_hold->gaps)}}));
  if (report.all_hot_minutes)
    out += item(words.text("full_all_hot", {{"all_hot_minutes", hold_text(*report.all_hot_minutes)}}));
  out += more_hold_lines(report, words);
  return out + not_claimed_line(report, words) + site_lines(report, words);
}

// What the words of a caution leave out.
std::string caution_details(const RunReport& report, const Words& words) {
  std::string out;
  for (const Caution& caution : report.cautions) {
    const std::string when = caution.when_s ? moment_for_people(report.clock, *caution.when_s) : "-";
    out += item(words.text("full_caution", {{"kind", clean(caution.kind)}, {"when_at", when}}) +
                values_text(report, caution.said.values));
  }
  return out.empty() ? out : "\n" + words.text("heading_caution_details") + "\n" + out;
}

std::string would_need_lines(const RunReport& report, const Words& words) {
  std::string out;
  for (const WouldNeed& need : report.would_need) {
    out += "\n" + wrapped(named(words, "treatment", clean(need.name)), 2);
    out += item(
        words.text("full_would_need", {{"setpoint_degC", print_setpoint(need.setpoint_degC, report.units)},
                                       {"hot_at", moment_or_dash(report, need.hot_at_s)},
                                       {"hold_minutes", hold_text(need.hold_minutes)},
                                       {"F_minutes", F_text(need.F_minutes)}}));
    out += criterion_lines(report, need.short_of, words);
  }
  return out;
}

std::string computed_lines(const RunReport& report, const Words& words) {
  std::string out = "\n" + words.text("heading_computed") + "\n";
  out += item(
      words.text("computed_lethality", {{"k", fmt::format("{:g}", report.k)},
                                        {"coverage_percent", fmt::format("{:g} %", report.coverage * 100)}}));
  out += item(words.text("computed_hold"));
  out += item(words.text("computed_by", {{"version", report.program_version}}));
  for (const LogResult& log : report.logs)
    out += item(clean(log.name) + " sha256 " + log.sha256);
  for (const Edition& edition : report.editions)
    out += edition_line(words, edition);
  return out;
}

} // namespace

std::string full_text(const RunReport& report, const Words& words) {
  std::string out;
  if (report.verdict)
    out += "\n" + words.text("heading_criteria") + "\n" + criterion_lines(report, report.criteria, words) +
           judgement_lines(report, words);
  for (const ProbeResult& probe : report.probes)
    out += probe_lines(report, probe, words);
  out += heating_lines(report, words) + would_need_lines(report, words);
  if (!report.verdict && report.reach.bag_count)
    out += item(words.text("full_load", {{"total", std::to_string(*report.reach.bag_count)}}));
  if (!report.verdict) out += site_lines(report, words) + event_lines(report, words);
  out += caution_details(report, words) + run_file_lines(report, words);
  return out + survival_lines(report, words) + computed_lines(report, words);
}

} // namespace coldbag
