#include "report/sheet_grid.h"

#include "report/layout.h"

#include <algorithm>

namespace coldbag {

namespace {

// Digits by hand are some 3 mm wide and a column of print is 2.54 mm: six take "118.4", more is better.
constexpr std::size_t narrowest_cell = 6;
constexpr std::size_t widest_cell = 9;
constexpr std::size_t time_width = 6;
constexpr std::size_t elapsed_width = 7;
constexpr std::size_t water_width = 5;
constexpr std::size_t initials_width = 4;
constexpr std::size_t crowded_initials_width = 3;
constexpr std::size_t narrowest_remark = 12;
constexpr std::size_t most_name_lines = 4;
constexpr std::size_t fewest_rows = 3;
constexpr std::size_t lines_of_row = 2;

/// What gauge and probes take, a rule behind each.
std::size_t width_of_cells(std::size_t cells, std::size_t cell) {
  return cells * (cell + 1);
}

} // namespace

std::vector<SheetColumn> sheet_columns(const RunSheet& sheet, const Words& words) {
  const bool is_us = sheet.units == UnitSystem::us;
  const std::size_t cells = sheet.probes.size() + 1;
  std::size_t left = columns_of_sheet - water_width - 1 - initials_width;
  std::vector<SheetColumn> columns;
  if (sheet.start)
    columns.push_back({words.text("sheet_column_time"), "", time_width});
  else
    columns.push_back({words.text("sheet_column_elapsed"), words.text("sheet_unit_minutes"), elapsed_width});
  left -= columns.front().width + 1;
  // Minutes alone do not tell when it was; where many probes leave no room, the clock at steam on has to do.
  if (!sheet.start && width_of_cells(cells, narrowest_cell + 1) + time_width + 1 <= left) {
    columns.push_back({words.text("sheet_column_clock"), "", time_width});
    left -= time_width + 1;
  }
  const std::size_t cell = std::clamp(left / cells - 1, narrowest_cell, widest_cell);
  columns.push_back({words.text("sheet_column_gauge"),
                     words.text(is_us ? "sheet_unit_psi_gauge" : "sheet_unit_kpa_gauge"), cell});
  for (const SheetProbe& probe : sheet.probes)
    columns.push_back(
        {clean(probe.column), words.text(is_us ? "sheet_unit_fahrenheit" : "sheet_unit_celsius"), cell});
  columns.push_back({words.text("sheet_column_water"), "", water_width});
  const std::size_t used = width_of_cells(cells, cell);
  columns.push_back(
      {words.text("sheet_column_initials"), "", used > left ? crowded_initials_width : initials_width});
  if (left >= used + 1 + narrowest_remark)
    columns.push_back({words.text("sheet_column_remark"), "", left - used - 1});
  return columns;
}

SheetGrid::SheetGrid(const RunSheet& sheet, const Words& words)
    : sheet_(sheet), parts_(sheet, words), columns_(sheet_columns(sheet, words)) {}

PrintedLines SheetGrid::page(std::size_t room) {
  PrintedLines out = header();
  const std::string last_rule = across({}, 0, '+', '-');
  const std::size_t room_for_rows = room - std::min(room, out.size() + 1);
  if (room_for_rows < lines_of_row * fewest_rows) return {};
  const std::size_t full = out.size() + room_for_rows;
  for (;;) {
    const PrintedLines row =
        is_done() ? PrintedLines{last_rule, without_blanks_at_end(across({}, 0, '|', ' '))} : printed_row();
    if (out.size() + row.size() > full) break;
    append_lines(out, row);
    ++next_;
  }
  out.push_back(last_rule);
  return out;
}

PrintedLines SheetGrid::header() const {
  std::vector<PrintedLines> names, units;
  std::size_t name_lines = 0, unit_lines = 0;
  for (const SheetColumn& column : columns_) {
    PrintedLines name = sheet_cell(column.name, column.width);
    if (name.size() > most_name_lines) {
      name.resize(most_name_lines);
      name.back() = cut(padded(name.back(), column.width) + " ", column.width);
    }
    name_lines = std::max(name_lines, name.size());
    names.push_back(std::move(name));
    units.push_back(sheet_cell(column.unit.empty() ? "" : "(" + column.unit + ")", column.width));
    unit_lines = std::max(unit_lines, units.back().size());
  }
  PrintedLines out;
  for (std::size_t i = 0; i < name_lines; ++i)
    out.push_back(without_blanks_at_end(across(names, i, '|', ' ')));
  for (std::size_t i = 0; i < unit_lines; ++i)
    out.push_back(without_blanks_at_end(across(units, i, '|', ' ')));
  return out;
}

PrintedLines SheetGrid::printed_row() const {
  const SheetLine& line = sheet_.lines[next_];
  PrintedLines out{across({{parts_.day_of(next_)}}, 0, '+', '-'),
                   without_blanks_at_end(across({{parts_.time_of(next_)}}, 0, '|', ' '))};
  const std::size_t indent = columns_.front().width + 1;
  if (line.remark)
    append_lines(out, sheet_paragraph(std::string(indent, ' ') + parts_.said(*line.remark), indent));
  return out;
}

/// One line through all columns; cells that are not there are filled.
std::string SheetGrid::across(const std::vector<PrintedLines>& cells, std::size_t row, char between,
                              char filler) const {
  std::string line;
  for (std::size_t i = 0; i < columns_.size(); ++i) {
    const std::string text = i < cells.size() && row < cells[i].size() ? cells[i][row] : "";
    const std::size_t length = screen_length(text);
    if (i > 0) line += between;
    line += text + std::string(columns_[i].width - std::min(columns_[i].width, length), filler);
  }
  return line;
}

} // namespace coldbag
