#include "logs/header.h"

#include "errors/user_error.h"
#include "logs/cell.h"
#include "logs/encoding.h"

#include <algorithm>
#include <array>
#include <map>
#include <utility>

namespace coldbag {

namespace {

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
    // A row without a time is one too: it will be counted.
    const auto cells = cells_of(lines[i].text, delimiter);
    if (!is_row_beside(cells, row) && !looks_like_row(cells)) break;
    top = i;
  }
  return top;
}

bool is_time_look(CellLook look) {
  return look == CellLook::moment || look == CellLook::date || look == CellLook::clock ||
         look == CellLook::other_date;
}

bool is_number(const std::string& cell) {
  return look_at(cell, '.') == CellLook::number || look_at(cell, ',') == CellLook::number;
}

/// What most lines that may be rows have in common: how many cells, and the first cell of time among them.
struct RowShape {
  std::size_t cells = 0;
  std::optional<std::size_t> time;
  CellLook time_look = CellLook::text;
  bool starts_with_number = false;
};

using CellsOfLines = std::vector<std::pair<std::size_t, std::vector<std::string>>>; ///< by index of the line

RowShape shape_of(const CellsOfLines& rows) {
  std::map<std::size_t, std::size_t> rows_with;
  for (const auto& [line, cells] : rows)
    ++rows_with[cells.size()];
  RowShape shape;
  std::size_t most = 0;
  for (const auto& [cells, count] : rows_with)
    if (count >= most) {
      shape.cells = cells;
      most = count;
    }
  for (std::size_t c = 0; c < shape.cells && !shape.time; ++c) {
    std::map<CellLook, std::size_t> looks;
    for (const auto& [line, cells] : rows)
      if (cells.size() == shape.cells) ++looks[look_at(cells[c], '.')];
    for (const auto& [look, count] : looks)
      if (is_time_look(look) && count * 2 > most) {
        shape.time = c;
        shape.time_look = look;
      }
  }
  shape.starts_with_number =
      std::count_if(rows.begin(), rows.end(), [](const auto& row) { return is_number(row.second.front()); }) *
          2 >
      static_cast<std::ptrdiff_t>(rows.size());
  return shape;
}

bool has_shape(const std::vector<std::string>& cells, const RowShape& shape) {
  if (!shape.time)
    return cells.size() == shape.cells && (!shape.starts_with_number || is_number(cells.front()));
  return *shape.time < cells.size() && look_at(cells[*shape.time], '.') == shape.time_look;
}

/// The first line that is shaped like most rows. Where no cell shows a time, a header that names one may
/// still follow.
std::optional<std::size_t> find_first_row(std::span<const SampleLine> lines, char delimiter) {
  CellsOfLines rows;
  for (std::size_t i = 0; i < lines.size(); ++i)
    if (auto cells = cells_of(lines[i].text, delimiter); looks_like_row(cells))
      rows.emplace_back(i, std::move(cells));
  const RowShape shape = shape_of(rows);
  for (const auto& [i, cells] : rows) {
    if (!has_shape(cells, shape)) continue;
    std::size_t next = i + 1;
    while (next < lines.size() && is_blank_line(lines[next]))
      ++next;
    const bool header_follows = next < lines.size() && names_a_time(lines[next].text) && !shape.time;
    if (!header_follows) return step_up(lines, i, delimiter);
  }
  return std::nullopt;
}

/// A line of the header, and what it is.
struct HeaderRow {
  std::size_t line = 0;
  std::vector<std::string> cells;
  bool is_units = false;
  bool has_time = false;
  bool has_named_unit = false; ///< some cell has a name and its unit
};

/// A unit, or the pattern or sign that stands in its place in a row of units.
bool may_be_a_unit(const std::string& cell) {
  if (find_column_unit(cell)) return true;
  constexpr std::array<std::string_view, 7> signs{"%", "%rh", "% rh", "mv", "ma", "[%]", "(%)"};
  const std::string lower = lower_case(cell);
  if (cell.size() > 2 && (cell.front() == '(' || cell.front() == '[') && take_apart(cell).unit) return true;
  return std::find(signs.begin(), signs.end(), lower) != signs.end();
}

HeaderRow header_row(const SampleLine& line, std::size_t index, char delimiter) {
  HeaderRow row;
  row.line = index;
  row.cells = cells_of(line.text, delimiter);
  std::size_t filled = 0;
  std::size_t units = 0;
  for (const std::string& cell : row.cells) {
    if (cell.empty()) continue;
    ++filled;
    if (may_be_a_unit(cell)) ++units;
    if (names_a_time(cell) && !find_time_unit(cell)) row.has_time = true;
    const HeaderName name = take_apart(cell);
    if (name.unit && !name.name.empty()) row.has_named_unit = true;
  }
  row.is_units = units * 2 > filled && !row.has_time;
  return row;
}

constexpr std::size_t most_header_rows = 3;

/// Lines above the first row that are as wide as the rows, nearest first; blank lines between are passed
/// over.
std::vector<HeaderRow> rows_above(std::span<const SampleLine> lines, std::size_t first_row, char delimiter) {
  const std::size_t width = cells_of(lines[first_row].text, delimiter).size();
  std::vector<HeaderRow> rows;
  for (std::size_t i = first_row; i-- > 0 && rows.size() < most_header_rows;) {
    if (is_blank_line(lines[i])) continue;
    HeaderRow row = header_row(lines[i], i, delimiter);
    // A line of the preamble ("Serial,12345") is not as wide as the rows.
    const std::size_t cells = row.cells.size();
    if (cells < 2 || (cells + 1 < width && (cells <= 2 || !rows.empty()))) break;
    rows.push_back(std::move(row));
  }
  return rows;
}

/// The rows of a header: names, and where they are there units and places of the probes.
struct HeaderRows {
  std::optional<HeaderRow> names;
  std::optional<HeaderRow> units;
  std::vector<HeaderRow> places;
};

bool leaves_time_empty(const HeaderRow& row, const HeaderRow& names) {
  if (row.cells.size() != names.cells.size()) return false;
  for (std::size_t i = 0; i < row.cells.size(); ++i)
    if (names_a_time(names.cells[i]) && !row.cells[i].empty()) return false;
  return std::count_if(row.cells.begin(), row.cells.end(), [](const auto& cell) { return !cell.empty(); }) >
         0;
}

/// The names are in the nearest row that names a time or has names with units, else in the nearest that is
/// not of units.
HeaderRows rows_of_header(std::vector<HeaderRow> rows) {
  HeaderRows found;
  std::size_t names = rows.size();
  for (std::size_t i = rows.size(); i-- > 0;)
    if (rows[i].has_time || (rows[i].has_named_unit && !rows[i].is_units)) names = i;
  for (std::size_t i = 0; i < rows.size() && names == rows.size(); ++i)
    if (!rows[i].is_units) names = i;
  if (rows.empty()) return found;
  if (names == rows.size()) names = 0;
  for (std::size_t i = 0; i < rows.size(); ++i) {
    if (i == names) continue;
    if (rows[i].is_units && !found.units)
      found.units = rows[i];
    else if (i < names || (rows[names].has_time && leaves_time_empty(rows[i], rows[names])))
      found.places.push_back(rows[i]);
    else
      break; // what stands above is no header
  }
  found.names = std::move(rows[names]);
  return found;
}

/// Puts the cells of a row of units or places to the names above or below them.
void add_units(std::vector<HeaderCell>& cells, const HeaderRow& units) {
  for (std::size_t i = 0; i < std::min(cells.size(), units.cells.size()); ++i) {
    HeaderName& name = cells[i].name;
    if (units.cells[i].empty() || !name.unit_text.empty()) continue;
    const HeaderName apart = take_apart(units.cells[i]);
    name.unit_text = apart.name.empty() && !apart.unit_text.empty() ? apart.unit_text : units.cells[i];
    name.unit = find_column_unit(name.unit_text);
  }
}

void add_places(std::vector<HeaderCell>& cells, const HeaderRow& places) {
  for (std::size_t i = 0; i < std::min(cells.size(), places.cells.size()); ++i)
    if (!places.cells[i].empty()) cells[i].name.name += ' ' + places.cells[i];
}

HeaderCell named_cell(const std::string& source_name, const SampleLine& line, std::string_view cell,
                      std::size_t at, std::size_t position) {
  HeaderName name = take_apart(cell);
  // A column may be called by its unit alone: "Celsius".
  if (const auto unit = find_temperature_unit(cell); unit && cell.size() > 1)
    name = {std::string(cell), std::string(cell), WrittenUnit{*unit, PressureBasis::none}};
  if (name.name.empty()) name.name = cell.empty() ? "column " + std::to_string(position) : std::string(cell);
  return {std::move(name), Place{source_name, line.number, static_cast<int>(at) + 1, ""}};
}

std::vector<HeaderCell> named_cells(const std::string& source_name, const SampleLine& line, char delimiter) {
  std::vector<HeaderCell> cells;
  std::string copy = line.text;
  for (char* at = copy.data(); at != nullptr;) {
    const std::string_view cell = take_cell(at, copy.data() + copy.size(), delimiter);
    cells.push_back(named_cell(source_name, line, cell, static_cast<std::size_t>(cell.data() - copy.data()),
                               cells.size() + 1));
  }
  return cells;
}

/// The names between two blanks or more, or tabs: single blanks are part of a name.
std::vector<HeaderCell> names_between_wide_blanks(const std::string& source_name, const SampleLine& line) {
  std::vector<HeaderCell> cells;
  const std::string_view text = line.text;
  for (std::size_t at = text.find_first_not_of(" \t"); at != std::string_view::npos;) {
    const std::size_t end = std::min({text.find("  ", at), text.find('\t', at), text.size()});
    cells.push_back(named_cell(source_name, line, trimmed(text.substr(at, end - at)), at, cells.size() + 1));
    at = text.find_first_not_of(" \t", end);
  }
  return cells;
}

/// What a cell of a row between blanks may belong to instead of having a name of its own.
enum class Belongs { to_none, to_date, to_number };

Belongs belongs(const std::vector<std::string>& row, std::size_t i) {
  if (i == 0) return Belongs::to_none;
  const CellLook before = look_at(row[i - 1], '.');
  const bool is_date = before == CellLook::date || before == CellLook::other_date;
  if (is_date && look_at(row[i], '.') == CellLook::clock) return Belongs::to_date;
  const bool is_number = before == CellLook::number || look_at(row[i - 1], ',') == CellLook::number;
  return is_number && find_column_unit(row[i]) ? Belongs::to_number : Belongs::to_none;
}

/// Names for all cells of the row, where cells that belong to the one before go without; nothing where the
/// names are not as many.
std::optional<std::vector<HeaderCell>> spread(const std::vector<HeaderCell>& names,
                                              const std::vector<std::string>& row, bool clocks_go_without,
                                              bool units_go_without) {
  std::vector<HeaderCell> all;
  std::size_t next = 0;
  for (std::size_t i = 0; i < row.size(); ++i) {
    const Belongs to = belongs(row, i);
    if ((to == Belongs::to_date && clocks_go_without) || (to == Belongs::to_number && units_go_without)) {
      HeaderCell cell = all.back();
      cell.name = {cell.name.name + (to == Belongs::to_number ? " unit" : " (clock)"), "", std::nullopt};
      all.push_back(std::move(cell));
    } else if (next < names.size()) {
      all.push_back(names[next++]);
    } else {
      return std::nullopt;
    }
  }
  return next == names.size() ? std::optional(all) : std::nullopt;
}

/// One header cell for each cell of the row: as they stand, or with a clock behind a date, units behind
/// numbers, or both without a name of their own.
std::optional<std::vector<HeaderCell>> names_for(const std::vector<HeaderCell>& names,
                                                 const std::vector<std::string>& row) {
  if (names.size() == row.size()) return names;
  for (const auto& [clocks, units] : {std::pair(true, false), std::pair(false, true), std::pair(true, true)})
    if (auto all = spread(names, row, clocks, units)) return all;
  return std::nullopt;
}

/// Between blanks a name of several words cannot be told from several names, unless the rows tell.
std::vector<HeaderCell> names_between_blanks(const std::string& source_name, const SampleLine& line,
                                             const std::vector<std::string>& row) {
  const auto words = named_cells(source_name, line, blanks_delimiter);
  const auto wide = names_between_wide_blanks(source_name, line);
  if (auto names = names_for(wide, row)) return *names;
  if (auto names = names_for(words, row)) return *names;
  throw UserError({Trouble::bad_data, Place{source_name, line.number, 0, ""},
                   "blanks part the cells, and the header's " + std::to_string(words.size()) +
                       " words are not the names of " + std::to_string(row.size()) + " cells in a row",
                   "put two blanks or more between names, or save the log with semicolons between cells"});
}

/// The letter of "T1_C"; '\0' where the name has no unit of its own and does not end so.
char letter_behind_underscore(const HeaderName& name) {
  const std::string_view text = name.name;
  if (text.size() < 3 || text[text.size() - 2] != '_' || !name.unit_text.empty()) return '\0';
  const bool is_letter =
      (text.back() >= 'A' && text.back() <= 'Z') || (text.back() >= 'a' && text.back() <= 'z');
  return is_letter ? text.back() : '\0';
}

/// "T1_C,T2_C" name a unit, "bag_A,bag_B,bag_C" do not: the letters have to be one and the same, and a
/// capital.
void take_letters_for_units(std::vector<HeaderCell>& cells) {
  char letter = '\0';
  for (const HeaderCell& cell : cells) {
    const char own = letter_behind_underscore(cell.name);
    if (own == '\0' || own == letter) continue;
    if (letter != '\0') return;
    letter = own;
  }
  if (letter != 'C' && letter != 'F' && letter != 'K') return;
  for (HeaderCell& cell : cells) {
    HeaderName& name = cell.name;
    if (letter_behind_underscore(name) == '\0') continue;
    name.unit_text = std::string(1, letter);
    name.unit = find_column_unit(name.unit_text);
    name.name.resize(name.name.size() - 2);
  }
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
  const std::string key = folded(trimmed(std::string_view(line.text).substr(0, mark)));
  std::string_view value = std::string_view(line.text).substr(mark + 1);
  while (!value.empty() && (marks.find(value.back()) != std::string::npos || value.back() == ' '))
    value.remove_suffix(1);
  while (!value.empty() && (marks.find(value.front()) != std::string::npos || value.front() == ' '))
    value.remove_prefix(1);
  const std::string said = "line " + std::to_string(line.number) + ": " + shown(line.text, 60);
  if (key.find("transcribed") != std::string::npos && says.by_hand_text.empty()) says.by_hand_text = said;
  if (key.find("unit") != std::string::npos || key.find("unidad") != std::string::npos)
    if (const auto unit = find_temperature_unit(value)) {
      const bool differs = says.temperature_unit && says.temperature_unit != unit;
      if (differs && !says.temperature_units_differ) says.other_unit_text = said;
      says.temperature_units_differ = says.temperature_units_differ || differs;
      if (!says.temperature_units_differ) {
        says.temperature_unit = unit;
        says.temperature_unit_text = said;
      }
    }
  if (key.find("time zone") != std::string::npos || key.find("timezone") != std::string::npos ||
      key.find("zona horaria") != std::string::npos)
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

std::optional<ColumnUnit> unit_named_by_line(std::string_view text, char delimiter) {
  PreambleSays says;
  read_preamble_line({0, std::string(text)}, delimiter, says);
  return says.temperature_unit;
}

bool names_a_time(std::string_view name) {
  // The first line of a log may carry a unit in the same cell ("Time (s)").
  constexpr std::array<std::string_view, 17> words{
      "time",  "date", "elapsed", "clock", "seconds",      "minutes",  "hours",   "timestamp", "datetime",
      "fecha", "hora", "tiempo",  "horas", "transcurrido", "segundos", "minutos", "duracion"};
  const std::string lower = folded(name);
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
  const auto row = cells_of(lines[*first_row].text, delimiter);
  const HeaderRows rows = rows_of_header(rows_above(lines, *first_row, delimiter));
  if (rows.names) {
    const SampleLine& line = lines[rows.names->line];
    header.header_line = line.number;
    header.cells = delimiter == blanks_delimiter ? names_between_blanks(source_name, line, row)
                                                 : named_cells(source_name, line, delimiter);
  } else {
    header.cells = numbered_cells(source_name, lines[*first_row], delimiter);
  }
  std::size_t before = *first_row;
  const auto take_in = [&](const HeaderRow& taken) {
    before = std::min(before, taken.line);
    header.lines.push_back(lines[taken.line].text);
  };
  if (rows.names) take_in(*rows.names);
  if (rows.units) {
    take_in(*rows.units);
    add_units(header.cells, *rows.units);
  }
  if (rows.names) take_letters_for_units(header.cells);
  for (const HeaderRow& places : rows.places) {
    take_in(places);
    add_places(header.cells, places);
  }
  header.preamble_lines = lines[before].number - 1;
  for (const SampleLine& line : lines.first(before))
    read_preamble_line(line, delimiter, header.preamble);
  if (rows.names) check_width(source_name, lines.subspan(*first_row), header, delimiter);
  return header;
}

} // namespace coldbag
