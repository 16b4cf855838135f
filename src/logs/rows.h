// The rows of a log, in blocks, and the tally of all that could not be read.
#pragma once

#include "clock/instant.h"
#include "logs/clock_event.h"
#include "logs/table_lines.h"
#include "logs/time_line.h"
#include "logs/understanding.h"

#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace coldbag {

inline constexpr int most_rows_in_block = 4096;

/// Rows of a log in time order. Column c, row r: degC[c][r], which is there where has[c][r] is not 0
/// (pressure columns hold Pa in the same way). Times never fall and never repeat.
struct RowBlock {
  std::int64_t first_row = 0; ///< number of the first row in the log, from 0
  std::vector<double> time_s; ///< since the start of the log
  std::vector<std::vector<double>> value;
  std::vector<std::vector<std::uint8_t>> has;
  /// Not 0 where the log's clock jumped before the row, so that the time from the row before is not known: no
  /// credit may reach across. Empty: nowhere.
  std::vector<std::uint8_t> break_before;
};

/// Whether the log's clock jumped before this row.
[[nodiscard]] inline bool breaks_before(const RowBlock& block, std::size_t row) {
  return !block.break_before.empty() && block.break_before[row] != 0;
}

/// Cells of one kind of fault.
struct CellTally {
  std::string kind; ///< key of words: "empty", "text", "not_a_number", "too_few_cells", "too_many_cells",
                    ///< "bad_time", "time_repeats", ..., all in docs/formats/log.md
  std::int64_t count = 0;
  Place first;      ///< of the first one; key_path is the column's name
  std::string text; ///< of the first one, at most 40 bytes
  bool operator==(const CellTally&) const = default;
};

/// A stretch longer than 1.5 median intervals between neighbouring rows.
struct Gap {
  double from_s = 0;
  double to_s = 0;
  bool operator==(const Gap&) const = default;
};

/// What one pass over the times shows, before any value is judged.
struct LogSurvey {
  std::int64_t row_count = 0; ///< rows with a usable time
  std::optional<Instant>
      start; ///< of the first row; none where times are elapsed only or the zone is not known
  std::optional<WallTime> start_wall; ///< of the first row; none where times are elapsed only
  double last_s = 0;                  ///< time of the last row since the first
  double interval_s = 0; ///< median of the steps between neighbouring rows; 0 with fewer than two rows
  /// The same for each column handed on, where columns have times of their own (long layout); else empty.
  std::vector<double> column_interval_s;
  std::vector<Gap> gaps; ///< the longest 100, in time order
  std::int64_t gap_count = 0;
  std::vector<ClockEvent> clock_events; ///< in time order
  bool operator==(const LogSurvey&) const = default;
};

/// A log that can be run over again and again.
class ProbeLog {
 public:
  /// Understands and surveys. Throws UserError where the log cannot be read at all (no rows, no times, no
  /// temperature).
  [[nodiscard]] static ProbeLog open(Source source, const LogOptions& options);

  [[nodiscard]] const Source& source() const { return source_; }
  [[nodiscard]] const Understanding& understanding() const { return understanding_; }
  [[nodiscard]] const LogSurvey& survey() const { return survey_; }
  /// The columns handed on, in file order: indexes into understanding().columns of temperature and pressure
  /// kind.
  [[nodiscard]] const std::vector<int>& value_columns() const { return value_columns_; }

  /// Hands on every row, in blocks of at most `block_rows`, and returns the tally of what was not read. The
  /// rows and the tally are the same for every block size.
  std::vector<CellTally> for_each_block(const std::function<void(const RowBlock&)>& take,
                                        int block_rows = most_rows_in_block) const;

 private:
  ProbeLog(Source source, Understanding understanding)
      : source_(std::move(source)), text_(source_), understanding_(std::move(understanding)) {}
  Source source_;
  Source text_; ///< the source in UTF-8
  Understanding understanding_;
  TableLines table_lines_;
  LogSurvey survey_;
  std::shared_ptr<const TimeLine> time_line_;
  std::vector<int> value_columns_;
};

} // namespace coldbag
