// A paper sheet of readings as a person types it off: one row after another, and the plain log it becomes.
#pragma once

#include "clock/instant.h"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace coldbag {

/// One reading of the sheet; numbers are kept as typed, with a point as decimal mark.
struct SheetCell {
  std::string value;       ///< "98.4"; "" where no reading was taken
  std::string crossed_out; ///< what stood there before; "" for nothing
  bool operator==(const SheetCell&) const = default;
};

struct SheetRow {
  WallTime time;
  std::vector<SheetCell> cells; ///< one a probe
  std::string note;             ///< what else the sheet says in this row
  bool operator==(const SheetRow&) const = default;
};

struct PaperSheet {
  std::vector<std::string> probes;
  bool in_degF = false;
  double interval_s = 0;
  std::string by; ///< who typed it off
  bool operator==(const PaperSheet&) const = default;
};

/// What was typed for one or more cells, or why it is none.
template <class Value>
struct Typed {
  std::optional<Value> value;
  std::string problem; ///< empty where there is a value
  std::string remedy;
};

/// Highest and lowest reading that is taken without asking again, in the sheet's unit.
struct SheetRange {
  double lowest = 0;
  double highest = 0;
};

/// Cells from one line: "98.4", "98,4 C", "-" (not taken), "\"" (as in the row above), "98.4>97.1" (98.4 was
/// crossed out, 97.1 stands), "98.4>" (crossed out, nothing in its place), "985!" (out of range, but so it is
/// written). Several are parted by blanks or ";". An empty line is one reading not taken. `above` has the
/// values of the row above from the same column on; it may be shorter than what is typed.
[[nodiscard]] Typed<std::vector<SheetCell>> typed_cells(std::string_view line,
                                                        const std::vector<std::string>& above, bool in_degF,
                                                        const SheetRange& range);

/// The time of a row: "14:30", "1430", "14h30", "2:30 pm", or with its date "2026-03-09 00:30". A clock alone
/// is the first one after `above`, over midnight too, but no more than twelve hours on: further is a slip as
/// often as not, and then the date must be typed. Without a row above it is on the day of `day`.
[[nodiscard]] Typed<WallTime> typed_time(std::string_view line, std::optional<WallTime> above, WallTime day);

/// The lines before the rows: that they were typed off, by whom and when, and the header.
[[nodiscard]] std::string sheet_head(const PaperSheet& sheet, Instant typed_at);

/// One row as a line of the log. What was crossed out stands in the last column, "Remark", which holds no
/// probe.
[[nodiscard]] std::string sheet_line(const PaperSheet& sheet, const SheetRow& row);

/// A sheet that was begun, as far as it goes.
struct BegunSheet {
  PaperSheet sheet;
  std::optional<WallTime> last_time;
  std::vector<std::string> last_values;
  int row_count = 0;
};

/// Reads what sheet_head and sheet_line wrote. Throws UserError where it is something else, or where its last
/// line was cut off.
[[nodiscard]] BegunSheet read_begun_sheet(const std::string& source_name, std::string_view bytes);

} // namespace coldbag
