// The runs of a ledger as a table for a spreadsheet: RFC 4180, strictly.
#pragma once

#include "clock/instant.h"
#include "records/history.h"
#include "records/report_figures_json.h"

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace coldbag {

/// A run with what was stated about it.
struct CsvRun {
  std::uint64_t number = 0;
  EntryId id{};
  bool is_imported = false;
  std::string run, vessel, treatment, verdict;
  ClockedInstant event_at, entered_at;
  std::string by;
  ReportFigures figures;
  std::string disposition;             ///< the latest; "" for none
  std::optional<KeptStatement> review; ///< the latest
  std::optional<long long> bad;        ///< of all outcomes together; none where nobody looked
  std::optional<long long> looked_at;  ///< of each lot the most on one day
  std::optional<WallTime> keep_until;
};

/// The runs with what was stated about them; without figures and `keep_until`.
[[nodiscard]] std::vector<CsvRun> csv_runs(const History& history);

/// A header and a line for each run, each ended by CR and LF; docs/formats/export.md has the columns.
[[nodiscard]] std::string runs_csv(const std::vector<CsvRun>& runs);

/// A text as a cell: an apostrophe stands before what a spreadsheet could take for a formula (and before an
/// apostrophe, so that it can be taken away again), quotes around what needs them. Control characters stay.
[[nodiscard]] std::string csv_text_cell(std::string_view text);

} // namespace coldbag
