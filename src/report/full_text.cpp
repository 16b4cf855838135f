#include "report/full_text.h"

#include "kinetics/exposure.h"
#include "report/figures.h"
#include "report/layout.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace coldbag {

namespace {

constexpr double most_decades_shown = 20; // past them a figure says nothing more
constexpr double least_shown = 1e-6;      // and so it does below this

// Of a table or a file, in the words of the catalogue where it has one for it.
std::string named(const Words& words, std::string_view family, std::string_view name) {
  std::string key = fmt::format("{}_{}", family, name);
  std::replace(key.begin(), key.end(), ' ', '_');
  return words.has(key) ? words.text(key) : std::string(name);
}

std::string required_text(const RunReport& report, const CriterionResult& c, const Words& words) {
  const std::map<std::string, std::string> values = {{"criterion", criterion_name(words, c.name)},
                                                     {"required", amount(report, c, c.required, false)}};
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

std::string band_text(std::size_t band, const Words& words) {
  const auto edge = [](std::size_t i) { return fmt::format("{:g}", band_edges_degC[i]); };
  if (band == 0) return words.text("band_below", {{"to_degC", edge(0)}});
  if (band == band_edges_degC.size()) return words.text("band_from", {{"from_degC", edge(band - 1)}});
  return words.text("band_between", {{"from_degC", edge(band - 1)}, {"to_degC", edge(band)}});
}

std::string bands_text(const ProbeResult& p, const Words& words) {
  std::string bands;
  for (std::size_t i = 0; i < p.F_minutes_by_band.size(); ++i)
    if (p.F_minutes_by_band[i] > 0.0005)
      bands += (bands.empty() ? "" : ", ") + band_text(i, words) + " " + F_text(p.F_minutes_by_band[i]);
  return bands.empty() ? words.text("full_no_bands") : words.text("full_bands", {{"bands", bands}});
}

std::string F_values_text(const RunReport& report, const ProbeResult& p, const Words& words) {
  return words.text("full_lethality", {{"name", report.reference.name},
                                       {"at_degC", fmt::format("{:g}", report.reference.at_degC)},
                                       {"z_K", fmt::format("{:g}", report.reference.z_K)},
                                       {"F_minutes", F_text(p.F_minutes)},
                                       {"F_minutes_all", F_text(p.F_minutes_all)},
                                       {"F_minutes_lower", F_text(p.F_minutes_lower)},
                                       {"F_minutes_after", F_text(p.F_minutes_after_steam_off)}});
}

std::string holds_text(const ProbeResult& p, const Words& words) {
  return words.text("full_hold", {{"hold_minutes", hold_text(p.hold_minutes)},
                                  {"hold_minutes_lower", hold_text(p.hold_minutes_lower)},
                                  {"hold_total_minutes", hold_text(p.hold_total_minutes)},
                                  {"strict_hold_minutes", hold_text(p.strict_hold_minutes)},
                                  {"not_credited_minutes", print_duration(p.not_credited_minutes * 60)}});
}

std::string uncertainty_text(const ProbeResult& p, const Words& words) {
  return words.text("full_uncertainty", {{"correction_K", fmt::format("{:+.2f}", p.correction_K)},
                                         {"u_K", fmt::format("{:.2f}", p.u_K)},
                                         {"from", p.u_from.empty() ? "-" : words.text(p.u_from)},
                                         {"noise_K", fmt::format("{:.2f}", p.noise_K)}});
}

std::string decades_text(double decades, const Words& words) {
  return decades > most_decades_shown
             ? words.text("decades_over", {{"decades", fmt::format("{:g}", most_decades_shown)}})
             : print_fixed(std::floor(decades * 10) / 10, 1);
}

std::string organism_text(const OrganismResult& o, const Words& words) {
  std::string out =
      words.text("full_organism", {{"organism", o.name},
                                   {"decades", decades_text(o.decades, words)},
                                   {"decades_lower", decades_text(o.decades_lower, words)},
                                   {"decades_z_less", decades_text(o.decades_lower_z_less_one, words)}});
  out += " (" + named(words, "basis", o.basis) + (o.source.empty() ? "" : ", " + o.source) + ")";
  if (o.beyond_range) out += "; " + words.text("full_organism_beyond");
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
                                                    {"organism", s.name},
                                                    {"survivors", few_text(s.survivors_at_most, words)},
                                                    {"bags", std::to_string(s.bags)},
                                                    {"bad_bags", few_text(s.expected_bad_bags, words)}});
    if (s.beyond_range) line += "; " + words.text("full_organism_beyond");
    out += item(line);
  }
  return out.empty() ? out : "\n" + words.text("heading_survival") + "\n" + out;
}

std::string probe_lines(const RunReport& report, const ProbeResult& p, const Words& words) {
  std::string out = "\n" + clean(p.name) + " (" + role_name(words, p.role) + ")\n";
  out += item(F_values_text(report, p, words));
  out += item(bands_text(p, words));
  out += item(holds_text(p, words));
  out += item(uncertainty_text(p, words));
  for (const OrganismResult& organism : p.organisms)
    out += item(organism_text(organism, words));
  return out;
}

std::string computed_lines(const RunReport& report, const Words& words) {
  std::string out = "\n" + words.text("heading_computed") + "\n";
  out += item(words.text("computed_lethality"));
  out += item(words.text("computed_hold"));
  out += item(words.text("computed_by", {{"version", report.program_version}}));
  for (const LogResult& log : report.logs)
    out += item(clean(log.name) + " sha256 " + log.sha256);
  for (const Edition& e : report.editions)
    out += item(
        fmt::format("{} ({}) sha256 {}", e.name, named(words, "origin", e.origin), e.sha256.substr(0, 16)));
  return out;
}

} // namespace

std::string full_text(const RunReport& report, const Words& words) {
  std::string out = "\n" + words.text("heading_criteria") + "\n";
  for (const CriterionResult& criterion : report.criteria)
    out += criterion_line(report, criterion, words);
  for (const ProbeResult& probe : report.probes)
    out += probe_lines(report, probe, words);
  return out + survival_lines(report, words) + computed_lines(report, words);
}

} // namespace coldbag
