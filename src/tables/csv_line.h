// One line of a CSV table to its cells.
#pragma once

#include "errors/user_error.h"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace coldbag {

struct CsvCell {
  std::string text;
  int column = 0; ///< where it begins in the line, from 1
};

/// The cells of a line by RFC 4180, save that a quoted cell may not run over its end. Nothing where the
/// quoting is bad: then a complaint is added, at `place` (the line's) and the column of the cell.
[[nodiscard]] std::optional<std::vector<CsvCell>>
split_csv_line(std::string_view line, char separator, Place place, std::vector<Complaint>& complaints);

} // namespace coldbag
