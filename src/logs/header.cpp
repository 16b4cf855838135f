#include "logs/header.h"

#include "errors/user_error.h"
#include "logs/cell.h"
#include "logs/encoding.h"

#include <algorithm>
#include <array>

namespace coldbag {

namespace {

/// What the rows use is not known yet, and both marks make a number here.
bool is_value(const std::string& cell) {
  const CellLook look = look_at(cell, '.');
  return (look != CellLook::text && look != CellLook::empty) || look_at(cell, ',') == CellLook::number ||
         look_at(cell, ',') == CellLook::number_with_unit;
}

/// A row holds at least two values, or nothing but values, and no column's name.
bool looks_like_row(const std::vector<std::string>& cells) {
  if (cells.size() < 2) return false;
  if (std::any_of(cells.begin(), cells.end(), [](const std::string& c) { return names_a_time(c); }))
    return false;
  return std::count_if(cells.begin(), cells.end(), is_value) >= 2;
}

bool is_blank_line(const SampleLine& line) {
  return trimmed(line.text).empty();
}

/// A line above the first row that holds a time where that row does is a row too: its readings may all be
/// words ("ERR").
bool is_row_beside(const std::vector<std::string>& cells, const std::vector<std::string>& row) {
  for (std::size_t i = 0; i < std::min(cells.size(), row.size()); ++i) {
    const CellLook look = look_at(cells[i], '.');
    const bool is_time = look == CellLook::moment || look == CellLook::date || look == CellLook::clock ||
                         look == CellLook::other_date ||
                         (i == 0 && look == CellLook::number && cells.size() == row.size());
    if (is_time && look == look_at(row[i], '.')) return true;
  }
  return false;
}

std::size_t step_up(std::span<const SampleLine> lines, std::size_t first_row, char delimiter) {
  const auto row = cells_of(lines[first_row].text, delimiter);
  std::size_t top = first_row;
  for (std::size_t i = first_row; i-- > 0;) {
    if (is_blank_line(lines[i])) continue;
    if (!is_row_beside(cells_of(lines[i].text, delimiter), row)) break;
    top = i;
  }
  return top;
}

/// A row is followed by another one, unless it is the last line.
std::optional<std::size_t> find_first_row(std::span<const SampleLine> lines, char delimiter) {
  for (std::size_t i = 0; i < lines.size(); ++i) {
    if (!looks_like_row(cells_of(lines[i].text, delimiter))) continue;
    std::size_t next = i + 1;
    while (next < lines.size() && is_blank_line(lines[next]))
      ++next;
    if (next == lines.size() || !names_a_time(lines[next].text)) return step_up(lines, i, delimiter);
  }
  return std::nullopt;
}

/// The nearest line with text above the first row, where it has cells.
std::optional<std::size_t> find_header_row(std::span<const SampleLine> lines, std::size_t first_row,
                                           char delimiter) {
  for (std::size_t i = first_row; i-- > 0;) {
    if (is_blank_line(lines[i])) continue;
    const auto cells = cells_of(lines[i].text, delimiter);
    // A line of the preamble ("Serial,12345") is not as wide as the rows.
    const std::size_t width = cells_of(lines[first_row].text, delimiter).size();
    const bool wide = cells.size() >= 2 && (cells.size() + 1 >= width || cells.size() > 2);
    return wide ? std::optional(i) : std::nullopt;
  }
  return std::nullopt;
}

std::vector<HeaderCell> named_cells(const std::string& source_name, const SampleLine& line, char delimiter) {
  std::vector<HeaderCell> cells;
  std::string copy = line.text;
  for (char* at = copy.data(); at != nullptr;) {
    const std::string_view cell = take_cell(at, copy.data() + copy.size(), delimiter);
    const int column = static_cast<int>(cell.data() - copy.data()) + 1;
    HeaderName name = take_apart(cell);
    if (name.name.empty())
      name.name = cell.empty() ? "column " + std::to_string(cells.size() + 1) : std::string(cell);
    cells.push_back({std::move(name), Place{source_name, line.number, column, ""}});
  }
  return cells;
}

std::vector<HeaderCell> numbered_cells(const std::string& source_name, const SampleLine& row,
                                       char delimiter) {
  std::vector<HeaderCell> cells = named_cells(source_name, row, delimiter);
  for (std::size_t i = 0; i < cells.size(); ++i)
    cells[i].name = {"column " + std::to_string(i + 1), "", std::nullopt};
  return cells;
}

/// "Temperature unit: °C", "Units;F": key and value around the first ":", "=" or delimiter.
void read_preamble_line(const SampleLine& line, char delimiter, PreambleSays& says) {
  const std::string marks = std::string(":=") + delimiter;
  const std::size_t mark = line.text.find_first_of(marks);
  if (mark == std::string::npos) return;
  const std::string key = lower_case(trimmed(std::string_view(line.text).substr(0, mark)));
  std::string_view value = std::string_view(line.text).substr(mark + 1);
  while (!value.empty() && (marks.find(value.back()) != std::string::npos || value.back() == ' '))
    value.remove_suffix(1);
  while (!value.empty() && (marks.find(value.front()) != std::string::npos || value.front() == ' '))
    value.remove_prefix(1);
  const std::string said = "line " + std::to_string(line.number) + ": " + shown(line.text, 60);
  if (key.find("transcribed") != std::string::npos && says.by_hand_text.empty()) says.by_hand_text = said;
  if (key.find("unit") != std::string::npos)
    if (const auto unit = find_temperature_unit(value)) {
      says.temperature_unit = unit;
      says.temperature_unit_text = said;
    }
  if (key.find("time zone") != std::string::npos || key.find("timezone") != std::string::npos)
    if (const auto zone = Zone::find(value)) {
      says.zone = zone;
      says.zone_text = said;
    }
}

/// A trailing delimiter makes one empty cell more; only text beyond the header is a fault.
void check_width(const std::string& source_name, std::span<const SampleLine> rows, const Header& header,
                 char delimiter) {
  std::size_t wider = 0;
  std::size_t all = 0;
  const SampleLine* first = nullptr;
  std::size_t cells_of_first = 0;
  for (const SampleLine& row : rows) {
    if (is_blank_line(row)) continue;
    ++all;
    const auto cells = cells_of(row.text, delimiter);
    const bool more = cells.size() > header.cells.size() &&
                      std::any_of(cells.begin() + static_cast<std::ptrdiff_t>(header.cells.size()),
                                  cells.end(), [](const std::string& cell) { return !cell.empty(); });
    if (!more) continue;
    ++wider;
    if (first == nullptr) {
      first = &row;
      cells_of_first = cells.size();
    }
  }
  if (wider * 2 <= all) return;
  throw UserError({Trouble::bad_data, Place{source_name, first->number, 0, ""},
                   "most rows have more cells than the header: here " + std::to_string(cells_of_first) +
                       ", in line " + std::to_string(header.header_line) + " " +
                       std::to_string(header.cells.size()),
                   "if the decimal mark is a comma, cells need another delimiter or quotes; else say "
                   "--delimiter, for example --delimiter \";\""});
}

} // namespace

bool names_a_time(std::string_view name) {
  // The first line of a log may carry a unit in the same cell ("Time (s)").
  constexpr std::array<std::string_view, 8> words{"time",    "date",    "elapsed", "clock",
                                                  "seconds", "minutes", "hours",   "timestamp"};
  const std::string lower = lower_case(name);
  std::string word;
  const auto known = [&] { return std::find(words.begin(), words.end(), word) != words.end(); };
  for (const char c : lower) {
    if (c >= 'a' && c <= 'z') {
      word += c;
      continue;
    }
    if (known()) return true;
    word.clear();
  }
  return known() || lower.find("datetime") != std::string::npos;
}

Header find_header(const std::string& source_name, std::span<const SampleLine> lines, char delimiter) {
  const auto first_row = find_first_row(lines, delimiter);
  if (!first_row)
    throw UserError({Trouble::bad_data, Place{source_name, lines.empty() ? 0 : lines.back().number, 0, ""},
                     "no row with a time and a reading was found",
                     "a row reads for example 2026-03-08 14:05:00" + std::string(1, delimiter) +
                         "96.5; if cells are parted by something else, say --delimiter"});
  Header header;
  header.first_row = *first_row;
  const auto row = find_header_row(lines, *first_row, delimiter);
  if (row) {
    header.header_line = lines[*row].number;
    header.cells = named_cells(source_name, lines[*row], delimiter);
  } else {
    header.cells = numbered_cells(source_name, lines[*first_row], delimiter);
  }
  const std::size_t before = row.value_or(*first_row);
  header.preamble_lines = lines[before].number - 1;
  for (const SampleLine& line : lines.first(before))
    read_preamble_line(line, delimiter, header.preamble);
  if (row) check_width(source_name, lines.subspan(*first_row), header, delimiter);
  return header;
}

} // namespace coldbag
