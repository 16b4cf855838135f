#include "logs/table_lines.h"

#include "logs/cell.h"
#include "logs/dialect.h"
#include "logs/header.h"
#include "logs/unit_words.h"

#include <algorithm>
#include <string>

namespace coldbag {

namespace {

/// At least two names, one of them of a time, and nothing else.
bool is_a_header(const Understanding& understanding, const Line& line) {
  const auto cells = cells_of(line.view(), understanding.delimiter.value);
  const auto is_name = [](const std::string& cell) { return look_at(cell, '.') == CellLook::text; };
  return std::count_if(cells.begin(), cells.end(), is_name) >= 2 &&
         std::all_of(cells.begin(), cells.end(),
                     [&](const std::string& cell) { return cell.empty() || is_name(cell); }) &&
         std::any_of(cells.begin(), cells.end(), [](const std::string& cell) { return names_a_time(cell); });
}

} // namespace

bool TableLines::is_in_other_table(int line) const {
  return std::any_of(other_tables.begin(), other_tables.end(),
                     [&](const auto& table) { return line >= table.first && line <= table.second; });
}

NoRow TableLines::judge(const Understanding& understanding, const Line& line,
                        std::string_view time_cell) const {
  const bool starts_with_digit = !time_cell.empty() && time_cell[0] >= '0' && time_cell[0] <= '9';
  if (is_own_header(understanding, line)) return NoRow::header_repeats;
  return line.number > last_row_line && !starts_with_digit ? NoRow::footer : NoRow::may_be_a_row;
}

bool is_own_header(const Understanding& understanding, const Line& line) {
  return std::any_of(understanding.header_rows.begin(), understanding.header_rows.end(),
                     [&](const std::string& row) { return trimmed(row) == trimmed(line.view()); });
}

bool is_too_short(const Understanding& understanding, std::size_t cells, const char* behind) {
  return cells < 2 && behind == nullptr && understanding.columns.size() > 1;
}

bool TableWatch::is_outside(const Line& line) {
  if (!outside_) return false;
  outside_ = !is_own_header(understanding_, line);
  if (outside_) found_.other_tables.back().second = line.number;
  return outside_;
}

void TableWatch::take_no_row(const Line& line) {
  if (is_own_header(understanding_, line) || !is_a_header(understanding_, line)) return;
  outside_ = true;
  found_.other_tables.emplace_back(line.number, line.number);
}

} // namespace coldbag
