#include "run/whole_log.h"

#include "run/moment_text.h"

namespace coldbag {

std::int64_t rows_of_all(const RunReport& report) {
  std::int64_t rows = 0;
  for (const LogResult& one : report.logs)
    rows += one.rows;
  return rows;
}

std::vector<UnreadCells> unread_cells(const RunReport& report) {
  std::vector<UnreadCells> cells;
  for (const LogResult& one : report.logs)
    for (const CellTally& tally : one.cells_unread)
      cells.push_back({tally.kind, tally.count, tally.first.source_name, tally.first.line,
                       tally.first.key_path, tally.text});
  return cells;
}

std::vector<LogGap> gaps_of_all(const RunReport& report) {
  std::vector<LogGap> gaps;
  for (const LogResult& one : report.logs)
    for (const Gap& gap : one.gaps)
      gaps.push_back({one.name, moment_iso(report.clock, one.from_s + gap.from_s),
                      moment_iso(report.clock, one.from_s + gap.to_s), (gap.to_s - gap.from_s) / 60});
  return gaps;
}

std::vector<LogClockEvent> clock_events_of_all(const RunReport& report) {
  std::vector<LogClockEvent> events;
  for (const LogResult& one : report.logs)
    for (const ClockEvent& event : one.clock_events)
      events.push_back({event.kind, one.name,
                        event.at.line == 0 ? std::nullopt : std::optional<std::int64_t>(event.at.line),
                        moment_iso(report.clock, one.from_s + event.time_s), event.jump_s, event.rows,
                        event.effect});
  return events;
}

const ProbeResult* coldest_of(const RunReport& report) {
  for (const ProbeResult& p : report.probes)
    if (p.name == report.coldest) return &p;
  return nullptr;
}

} // namespace coldbag
