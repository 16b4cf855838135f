#include "report/heating_text.h"

#include "quantity/print.h"
#include "report/figures.h"
#include "report/layout.h"
#include "report/load_text.h"
#include "report/unjudged_text.h"

#include <fmt/format.h>

#include <vector>

namespace coldbag {

namespace {

constexpr std::size_t name_columns = 16;
constexpr std::size_t lag_columns = 12;

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

std::string probe_row(const ProbeHeating& probe, const Words& words) {
  return padded(cut(clean(probe.probe), name_columns - 1), name_columns) +
         padded(lag_or_not(probe.lag_minutes, words, "lag_not_seen"), lag_columns) +
         padded(lag_or_not(probe.fitted_minutes, words, "lag_not_fitted"), lag_columns) +
         expected_text(probe, words) + "\n";
}

std::string probe_table(const BagHeating& kind, const Words& words) {
  if (kind.probes.empty()) return "";
  std::string out =
      padded(words.text("lag_head_probe"), name_columns) + padded(words.text("lag_head_seen"), lag_columns) +
      padded(words.text("lag_head_fitted"), lag_columns) + words.text("lag_head_expected") + "\n";
  for (const ProbeHeating& probe : kind.probes)
    out += probe_row(probe, words);
  return out;
}

std::string kind_text(const RunReport& report, const BagHeating& kind, const Words& words) {
  std::string out = kind_heading(report, kind, words);
  out += probe_table(kind, words);
  for (const ProbeHeating& probe : kind.probes)
    if (const std::string remark = remark_text(report, words, probe); !remark.empty()) out += item(remark);
  for (const std::string& line : learned_items(kind, words))
    out += item(line);
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
  if (!report.runs.empty()) return several_runs_text(report, words, "coldbag lag " + log_argument);
  std::string out = report.run_name.empty() ? "" : clean(report.run_name) + "\n";
  if (report.load_not_judged && report.load_not_judged->key == "load_not_described")
    out += wrapped(words.text("lag_not_described"), 2);
  else if (report.load_not_judged)
    out += wrapped(said_text(words, report, *report.load_not_judged), 2);
  for (const BagHeating& kind : report.heating)
    out += (out.empty() ? "" : "\n") + kind_text(report, kind, words);
  if (!report.heating.empty()) out += "\n" + wrapped(words.text("lag_seen_means"), 2);
  const std::string slowest = slowest_bag_lines(report, words);
  if (!report.load_not_judged && !slowest.empty()) out += "\n" + slowest;
  if (full) out += heating_lines(report, words);
  return out;
}

} // namespace coldbag
