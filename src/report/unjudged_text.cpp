#include "report/unjudged_text.h"

#include "report/figures.h"
#include "report/happenings_text.h"
#include "report/layout.h"
#include "report/log_lines.h"
#include "run/moment_text.h"

#include <fmt/format.h>

#include <algorithm>

namespace coldbag {

namespace {

std::string need(const RunReport& report, const CriterionResult& c, const Words& words) {
  if (c.too_much) return words.text("needs_under", {{"required", amount(report, c, c.required, false)}});
  const double more_minutes = c.required - c.delivered.value_or(0);
  return c.name == "lethality"
             ? words.text("needs_lethality", {{"more_minutes", F_text(more_minutes)}})
             : words.text("needs_hold", {{"more_minutes", print_duration_up(more_minutes * 60)}});
}

std::string needs(const RunReport& report, const WouldNeed& would, const Words& words) {
  if (would.short_of.empty()) return words.text("needs_nothing");
  std::string out;
  for (const CriterionResult& c : would.short_of)
    out += (out.empty() ? "" : ", ") + need(report, c, words);
  return out;
}

// What a treatment would need goes below its row where it has no room beside it.
std::string treatment_row(const RunReport& report, const WouldNeed& would, const Words& words) {
  const std::string row = padded(cut(named(words, "treatment", would.name), 31), 32) +
                          padded(moment_or_dash(report, would.hot_at_s), 18) +
                          padded(hold_or_dash(would.hold_minutes), 13);
  const std::string more = needs(report, would, words);
  if (screen_length(row) + screen_length(more) <= 80) return row + more + "\n";
  return row.substr(0, row.find_last_not_of(' ') + 1) + "\n" + wrapped("    " + more, 4);
}

std::string treatment_table(const RunReport& report, const Words& words) {
  std::string out = padded("", 32) + padded(words.text("table_first_hot"), 18) +
                    padded(words.text("table_hold"), 13) + words.text("table_would_need") + "\n";
  for (const WouldNeed& would : report.would_need)
    out += treatment_row(report, would, words);
  return out;
}

std::string probe_lines(const RunReport& report, const Words& words) {
  std::string out;
  for (const ProbeResult& p : report.probes)
    out += item(words.text("bare_probe", {{"probe", clean(p.name)},
                                          {"role", role_name(words, p.role)},
                                          {"top_degC", temperature_or_dash(report, p.top_degC)},
                                          {"near_top_at", moment_or_dash(report, p.near_top_at_s)}}));
  return out;
}

// The coldest probe in a bag, else the first probe, stands for the one the reader means.
std::string example_column(const RunReport& report, const Words& words) {
  if (report.probes.empty()) return words.text("example_column");
  const ProbeResult* coldest = nullptr;
  for (const ProbeResult& p : report.probes)
    if (p.role == ProbeRole::bag && (coldest == nullptr || p.F_minutes < coldest->F_minutes)) coldest = &p;
  return clean(coldest == nullptr ? report.probes.front().name : coldest->name);
}

} // namespace

std::string bare_text(const RunReport& report, const Words& words, const std::string& log_argument) {
  return film_lines(report, words) + words.text("bare_nothing_judged") + "\n\n" + log_lines(report, words) +
         site_line(report, words) + "\n" + probe_lines(report, words) + fault_lines(report, words) + "\n" +
         treatment_table(report, words) + caution_lines(report, words) + "\n" +
         words.text("heading_type_next") + "\n" +
         command_lines({"coldbag check " + log_argument, "--treatment atmospheric_steam",
                        "--in-bag \"" + example_column(report, words) + "\"",
                        "--altitude \"" + words.text("example_altitude") + "\"", "--vented"}) +
         command_lines({"coldbag check " + log_argument, "--explain"});
}

std::string several_runs_text(const RunReport& report, const Words& words, const std::string& command) {
  std::string out = film_lines(report, words) + wrapped(words.text("several_runs"), 0) + "\n";
  for (std::size_t i = 0; i < report.runs.size(); ++i)
    out += item(
        words.text("several_runs_one", {{"number", std::to_string(i + 1)},
                                        {"from_at", moment_for_people(report.clock, report.runs[i].from_s)},
                                        {"to_at", moment_for_people(report.clock, report.runs[i].to_s)}}));
  out += caution_lines(report, words);
  out += "\n" + site_line(report, words) + log_lines(report, words);
  return out + "\n" + words.text("several_runs_choose") + "\n" +
         command_lines({command, fmt::format("--run {}", report.runs.size())});
}

} // namespace coldbag
