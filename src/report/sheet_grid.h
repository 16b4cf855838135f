// The readings of a run sheet as they are ruled: a line of writing for each, between two rules.
#pragma once

#include "report/sheet_lines.h"
#include "report/sheet_parts.h"
#include "report/words.h"
#include "sizing/run_sheet.h"

#include <cstddef>

namespace coldbag {

/// One column of the readings: its name, its unit beneath, and how wide it is to write in.
struct SheetColumn {
  std::string name;
  std::string unit; ///< "" where none; in brackets on the sheet, as in a log
  std::size_t width = 0;
  bool operator==(const SheetColumn&) const = default;
};

/// Time, gauge, probes, water level, initials, and a remark where there is room. Name and unit of time, gauge
/// and probes are those that a log's header has. Gauge and probes are 6 to 9 columns wide; up to 80 in all.
[[nodiscard]] std::vector<SheetColumn> sheet_columns(const RunSheet& sheet, const Words& words);

/// The rows, handed out page by page.
class SheetGrid {
 public:
  SheetGrid(const RunSheet& sheet, const Words& words);
  /// Every line of the sheet has been handed out.
  [[nodiscard]] bool is_done() const { return next_ >= sheet_.lines.size(); }
  /// Header and as many rows as `room` lines take; where all are out, rows without a time fill it up. Nothing
  /// where there is room for fewer than three.
  [[nodiscard]] PrintedLines page(std::size_t room);

 private:
  [[nodiscard]] PrintedLines header() const;
  [[nodiscard]] PrintedLines printed_row() const;
  [[nodiscard]] std::string across(const std::vector<PrintedLines>& cells, std::size_t row, char between,
                                   char filler) const;

  const RunSheet& sheet_;
  SheetParts parts_;
  std::vector<SheetColumn> columns_;
  std::size_t next_ = 0;
};

} // namespace coldbag
