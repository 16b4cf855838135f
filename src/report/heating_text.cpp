#include "report/heating_text.h"

#include "quantity/print.h"
#include "report/figures.h"
#include "report/layout.h"
#include "report/load_blocks.h"
#include "report/screen.h"
#include "report/unjudged_blocks.h"

#include <fmt/format.h>

#include <utility>

namespace coldbag {

namespace {

std::string lag_or_not(const std::optional<double>& minutes, const Words& words, const char* otherwise) {
  return minutes ? print_duration(*minutes * 60) : words.text(otherwise);
}

std::string expected_text(const ProbeHeating& probe, const Words& words) {
  if (!probe.expected_minutes || !probe.expected_upper_minutes) return words.text("lag_over_a_day");
  return words.text("lag_expected_range",
                    {{"expected_minutes", print_duration(*probe.expected_minutes * 60)},
                     {"lower_minutes", print_duration(probe.expected_lower_minutes.value_or(0) * 60)},
                     {"upper_minutes", print_duration(*probe.expected_upper_minutes * 60)}});
}

Table probe_table(const BagHeating& kind, const Words& words) {
  Table table;
  table.columns = {{words.text("lag_head_probe"), 16, true},
                   {words.text("lag_head_seen"), 12},
                   {words.text("lag_head_fitted"), 12},
                   {words.text("lag_head_expected")}};
  for (const ProbeHeating& probe : kind.probes)
    table.rows.push_back(
        {{clean(probe.probe), lag_or_not(probe.lag_minutes, words, "lag_not_seen"),
          lag_or_not(probe.fitted_minutes, words, "lag_not_fitted"), expected_text(probe, words)},
         ""});
  return table;
}

Blocks kind_part(const RunReport& report, const BagHeating& kind, const Words& words) {
  Blocks out = kind_blocks(report, kind, words);
  if (!kind.probes.empty()) out.push_back(probe_table(kind, words));
  for (const ProbeHeating& probe : kind.probes)
    if (const std::string remark = remark_text(report, words, probe); !remark.empty())
      out.push_back(Item{remark});
  for (const std::string& line : learned_items(kind, words))
    out.push_back(Item{line});
  return out;
}

Blocks lag_blocks(const RunReport& report, const Words& words, bool full) {
  Blocks out;
  if (!report.run_name.empty()) out.push_back(Heading{clean(report.run_name), 1});
  if (report.load_not_judged && report.load_not_judged->key == "load_not_described")
    out.push_back(Paragraph{words.text("lag_not_described")});
  else if (report.load_not_judged)
    out.push_back(Paragraph{said_text(words, report, *report.load_not_judged)});
  for (const BagHeating& kind : report.heating) {
    if (!out.empty()) out.push_back(Space{});
    append(out, kind_part(report, kind, words));
  }
  if (!report.heating.empty()) append(out, {Space{}, Paragraph{words.text("lag_seen_means")}});
  if (!report.load_not_judged)
    if (Blocks slowest = slowest_bag_blocks(report, words); !slowest.empty()) {
      out.push_back(Space{});
      append(out, std::move(slowest));
    }
  if (full) append(out, heating_blocks(report, words));
  return out;
}

} // namespace

std::string remark_text(const RunReport& report, const Words& words, const ProbeHeating& probe) {
  if (probe.remark.empty()) return "";
  std::string why;
  const auto add = [&](const char* key, const std::map<std::string, std::string>& values) {
    why += (why.empty() ? "" : "; ") + words.text(key, values);
  };
  if (probe.would_weigh_kg)
    add("lag_would_weigh", {{"mass_kg", print_mass(*probe.would_weigh_kg, report.units)}});
  if (probe.would_be_moist_wb)
    add("lag_would_be_moist", {{"moisture", fmt::format("{:.0f} %", 100 * *probe.would_be_moist_wb)}});
  if (probe.would_be_off_m)
    add("lag_would_be_off", {{"off_m", print_length(*probe.would_be_off_m, report.units)}});
  const std::string remark = words.has(probe.remark) ? words.text(probe.remark) : clean(probe.remark);
  const std::map<std::string, std::string> values{
      {"probe", clean(probe.probe)}, {"remark", remark}, {"why", why}};
  if (why.empty()) return words.text("lag_remark_unexplained", values);
  return words.text(why.find(';') == std::string::npos ? "lag_remark_one" : "lag_remark", values);
}

std::string heating_text(const RunReport& report, const Words& words, bool full,
                         const std::string& log_argument) {
  return screen_text(report.runs.empty() ? lag_blocks(report, words, full)
                                         : several_runs_blocks(report, words, "coldbag lag " + log_argument));
}

} // namespace coldbag
