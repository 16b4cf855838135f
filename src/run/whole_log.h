// What the logs of a run say together: the rows, cells, gaps and clock events of all of them in one list
// each.
#pragma once

#include "run/run_report.h"

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace coldbag {

/// Cells of one kind that were not read, with the first of them.
struct UnreadCells {
  std::string kind;
  std::int64_t count = 0;
  std::string source;
  std::int64_t line = 0;
  std::string column;
  std::string text;
};

/// A stretch without rows; moments as `moment_iso` writes them.
struct LogGap {
  std::string source;
  std::string from;
  std::string to;
  double minutes = 0;
};

/// What a log's clock did; the moment as `moment_iso` writes it.
struct LogClockEvent {
  std::string kind;
  std::string source;
  std::optional<std::int64_t> line; ///< none: of no single row
  std::string at;
  double jump_s = 0;
  std::int64_t rows = 0;
  std::string effect;
};

[[nodiscard]] std::int64_t rows_of_all(const RunReport& report);
[[nodiscard]] std::vector<UnreadCells> unread_cells(const RunReport& report);
[[nodiscard]] std::vector<LogGap> gaps_of_all(const RunReport& report);
[[nodiscard]] std::vector<LogClockEvent> clock_events_of_all(const RunReport& report);

/// The probe the report names as the coldest; null where it names none of its probes.
[[nodiscard]] const ProbeResult* coldest_of(const RunReport& report);

} // namespace coldbag
