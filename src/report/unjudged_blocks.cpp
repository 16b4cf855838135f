#include "report/unjudged_blocks.h"

#include "report/figures.h"
#include "report/happenings_blocks.h"
#include "report/layout.h"
#include "report/log_blocks.h"
#include "run/moment_text.h"

#include <fmt/format.h>

#include <utility>

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

Table treatment_table(const RunReport& report, const Words& words) {
  Table table;
  table.columns = {{"", 32, true},
                   {words.text("table_first_hot"), 18},
                   {words.text("table_hold"), 13},
                   {words.text("table_would_need"), 0, false, true}};
  for (const WouldNeed& would : report.would_need)
    table.rows.push_back(
        {{named(words, "treatment", clean(would.name)), moment_or_dash(report, would.hot_at_s),
          hold_or_dash(would.hold_minutes), needs(report, would, words)},
         ""});
  return table;
}

Blocks probe_items(const RunReport& report, const Words& words) {
  Blocks out;
  for (const ProbeResult& p : report.probes)
    out.push_back(Item{words.text("bare_probe", {{"probe", clean(p.name)},
                                                 {"role", role_name(words, p.role)},
                                                 {"top_degC", temperature_or_dash(report, p.top_degC)},
                                                 {"near_top_at", moment_or_dash(report, p.near_top_at_s)}})});
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

Blocks run_items(const RunReport& report, const Words& words) {
  Blocks out;
  for (std::size_t i = 0; i < report.runs.size(); ++i)
    out.push_back(Item{
        words.text("several_runs_one", {{"number", std::to_string(i + 1)},
                                        {"from_at", moment_for_people(report.clock, report.runs[i].from_s)},
                                        {"to_at", moment_for_people(report.clock, report.runs[i].to_s)}})});
  return out;
}

Blocks bare_blocks(const RunReport& report, const Words& words, const std::string& log_argument) {
  Blocks out = film_blocks(report, words);
  out.push_back(Paragraph{words.text("bare_nothing_judged")});
  out.push_back(Space{});
  append(out, log_blocks(report, words));
  append(out, site_blocks(report, words));
  out.push_back(Space{});
  append(out, probe_items(report, words));
  append(out, fault_blocks(report, words));
  out.push_back(Space{});
  out.push_back(treatment_table(report, words));
  append(out, caution_blocks(report, words));
  out.push_back(Heading{words.text("heading_type_next")});
  const std::string command = "coldbag check " + log_argument;
  out.push_back(
      Command{{command, "--treatment atmospheric_steam", "--in-bag \"" + example_column(report, words) + "\"",
               "--altitude \"" + words.text("example_altitude") + "\"", "--vented"}});
  out.push_back(Command{{command, "--explain"}});
  return out;
}

Blocks several_runs_blocks(const RunReport& report, const Words& words, const std::string& command) {
  Blocks out = film_blocks(report, words);
  out.push_back(Paragraph{words.text("several_runs"), 0});
  out.push_back(Space{});
  append(out, run_items(report, words));
  append(out, caution_blocks(report, words));
  out.push_back(Space{});
  append(out, site_blocks(report, words));
  append(out, log_blocks(report, words));
  out.push_back(Heading{words.text("several_runs_choose")});
  out.push_back(Command{{command, fmt::format("--run {}", report.runs.size())}});
  return out;
}

} // namespace coldbag
