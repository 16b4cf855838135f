// How lines are cut into cells: delimiter, quotes, decimal mark.
#pragma once

#include "logs/understanding.h"

#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace coldbag {

/// Stands for runs of blanks and tabs between cells: they part cells together, and none is empty.
inline constexpr char blanks_delimiter = ' ';

/// One line of the first part of a log.
struct SampleLine {
  int number = 0;
  std::string text;
};

/// Cuts the next cell off the text at `at`, without blanks and quotes, and moves `at` past its delimiter;
/// `at` is null once the last cell is taken. Doubled quotes are made single in place (RFC 4180).
[[nodiscard]] std::string_view take_cell(char*& at, char* end, char delimiter);

/// All cells of a line. An empty line has one empty cell.
[[nodiscard]] std::vector<std::string> cells_of(std::string_view line, char delimiter);

/// Whether a line may be a row: at least two cells are values of any kind, or marks of none, and no cell is a
/// name of time.
[[nodiscard]] bool looks_like_row(const std::vector<std::string>& cells);

/// Finds the delimiter that makes most rows; throws UserError where no line has any.
[[nodiscard]] Choice<char> find_delimiter(const std::string& source_name, std::span<const SampleLine> lines,
                                          const LogOptions& options);

/// Finds the decimal mark from the rows; throws UserError where both are used.
[[nodiscard]] Choice<char> find_decimal_mark(const std::string& source_name, std::span<const SampleLine> rows,
                                             char delimiter, const LogOptions& options);

} // namespace coldbag
