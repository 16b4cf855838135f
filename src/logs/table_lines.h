// Lines among and behind the rows that are no rows: the header once more, another table, a footer.
#pragma once

#include "logs/lines.h"
#include "logs/understanding.h"

#include <cstdint>
#include <string_view>
#include <utility>
#include <vector>

namespace coldbag {

enum class NoRow : std::uint8_t { may_be_a_row, header_repeats, footer };

/// What one pass in the order of the file found; questions about a line may then come in any order.
struct TableLines {
  std::vector<std::pair<int, int>> other_tables; ///< first and last line of each, rising
  int last_row_line = 0;                         ///< line of the last row with a time

  [[nodiscard]] bool is_in_other_table(int line) const;
  /// What a line is whose time cannot be read. Behind the last row, what starts with no digit is a footer.
  [[nodiscard]] NoRow judge(const Understanding& understanding, const Line& line,
                            std::string_view time_cell) const;
};

/// Whether the line is a row of the log's own header.
[[nodiscard]] bool is_own_header(const Understanding& understanding, const Line& line);

/// One cell alone is no row of a log of several columns: a number alone would pass for an elapsed time.
/// `behind` is where cutting stopped, null at the end of the line.
[[nodiscard]] bool is_too_short(const Understanding& understanding, std::size_t cells, const char* behind);

/// Follows the lines below the header in the order of the file. Another header, of names alone with a time
/// among them, names other columns: what follows it is another table, until the log's own header comes again.
class TableWatch {
 public:
  explicit TableWatch(const Understanding& understanding) : understanding_(understanding) {}

  /// Whether the line stands in another table.
  [[nodiscard]] bool is_outside(const Line& line);
  /// A row with a time that can be read.
  void take_row(const Line& line) { found_.last_row_line = line.number; }
  /// A line that may be no row: its time cannot be read, or it names no probe of the log.
  void take_no_row(const Line& line);
  /// Whether the line taken last stands in another table.
  [[nodiscard]] bool is_in_other_table() const { return outside_; }
  [[nodiscard]] TableLines found() && { return std::move(found_); }

 private:
  const Understanding& understanding_;
  TableLines found_;
  bool outside_ = false;
};

} // namespace coldbag
