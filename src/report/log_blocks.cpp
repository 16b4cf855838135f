#include "report/log_blocks.h"

#include "report/figures.h"
#include "report/layout.h"
#include "run/moment_text.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <string>
#include <utility>

namespace coldbag {

namespace {

// What more is said of a log stands under its line.
Paragraph below(std::string text) {
  return {std::move(text), 4, Tone::plain, 2};
}

Paragraph rows_line(const RunReport& report, const LogResult& log, const Words& words) {
  std::string line = words.text("log_rows", {{"name", clean(log.name)},
                                             {"rows", std::to_string(log.rows)},
                                             {"from_at", moment_for_people(report.clock, log.from_s)},
                                             {"to_at", moment_for_people(report.clock, log.to_s)}});
  if (log.interval_s > 0)
    line += ", " + words.text("log_interval", {{"interval", print_duration(log.interval_s)}});
  if (log.gap_count > 0) line += ", " + gaps_text(log.gap_count, words);
  if (log.by_hand) line += ", " + words.text("log_by_hand");
  return {line};
}

// One line each; a kind that a damaged clock makes by the hundred is cut off.
Blocks clock_blocks(const RunReport& report, const LogResult& log, const Words& words) {
  constexpr std::size_t most_lines = 10;
  Blocks out;
  for (std::size_t i = 0; i < std::min(most_lines, log.clock_events.size()); ++i) {
    const ClockEvent& event = log.clock_events[i];
    const std::string key = event.kind.starts_with("clock_") ? event.kind : "clock_" + event.kind;
    const std::map<std::string, std::string> values = {
        {"at", moment_for_people(report.clock, log.from_s + event.time_s)},
        {"jump", print_duration(std::abs(event.jump_s))},
        {"rows", std::to_string(event.rows)},
        {"line", std::to_string(event.at.line)}};
    out.push_back(below(words.has(key) ? words.text(key, values) : clean(event.kind)));
  }
  if (log.clock_events.size() > most_lines)
    out.push_back(
        below(words.text("clock_more", {{"rows", std::to_string(log.clock_events.size() - most_lines)}})));
  return out;
}

std::string cell_name(const Words& words, const std::string& kind) {
  const std::string key = "cell_" + kind;
  return words.has(key) ? words.text(key) : clean(kind);
}

Paragraph unread_line(const CellTally& tally, const Words& words) {
  std::string line = words.text("log_not_read", {{"count", std::to_string(tally.count)},
                                                 {"kind", cell_name(words, tally.kind)},
                                                 {"line", std::to_string(tally.first.line)}});
  if (!tally.first.key_path.empty())
    line += ", " + words.text("log_column", {{"column", clean(tally.first.key_path)}});
  if (!tally.text.empty()) line += ": \"" + clean(tally.text) + "\"";
  return below(line);
}

// Columns that nobody told to leave out and that still give no reading.
Blocks left_out_blocks(const LogResult& log, const Words& words) {
  const Understanding& u = log.understanding;
  std::string names;
  for (std::size_t i = 0; i < u.columns.size(); ++i) {
    const Choice<ColumnKind>& kind = u.columns[i].kind;
    const auto at = static_cast<int>(i);
    const bool is_split = u.long_layout && (at == u.long_layout->probe || at == u.long_layout->reading);
    if (kind.value != ColumnKind::ignored || kind.how != How::found || is_split) continue;
    names += (names.empty() ? "\"" : ", \"") + clean(u.columns[i].name) + '"';
  }
  if (names.empty()) return {};
  return {below(words.text("log_left_out", {{"columns", names}}))};
}

} // namespace

Blocks log_blocks(const RunReport& report, const Words& words) {
  Blocks out;
  for (const LogResult& log : report.logs) {
    out.push_back(rows_line(report, log, words));
    append(out, clock_blocks(report, log, words));
    if (log.cells_unread.empty()) out.push_back(below(words.text("log_all_read")));
    for (const CellTally& tally : log.cells_unread)
      out.push_back(unread_line(tally, words));
    append(out, left_out_blocks(log, words));
  }
  return out;
}

Blocks site_blocks(const RunReport& report, const Words& words) {
  if (!report.boiling_degC) return {};
  const std::string boiling = print_temperature(*report.boiling_degC, report.units);
  if (!report.altitude_m) return {Paragraph{words.text("boils_here", {{"boiling_degC", boiling}}), 0}};
  const std::map<std::string, std::string> values = {
      {"altitude_m", print_altitude(*report.altitude_m, report.units)}, {"boiling_degC", boiling}};
  return {Paragraph{words.text("boils_at_altitude", values), 0}};
}

} // namespace coldbag
