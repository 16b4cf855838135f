#include "tables/table.h"

#include "errors/our_fault.h"
#include "quantity/parse.h"
#include "tables/csv_line.h"

#ifndef __clang__
#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wstringop-truncation"
#pragma GCC diagnostic ignored "-Wstringop-overread"
#pragma GCC diagnostic ignored "-Warray-bounds"
#endif
#include <libfccp/csv.h>
#ifndef __clang__
#pragma GCC diagnostic pop
#endif

#include <algorithm>
#include <array>
#include <charconv>
#include <utility>

namespace coldbag {

namespace {

using Complaints = std::vector<Complaint>;

struct Line {
  int number = 0;
  std::vector<CsvCell> cells;
};

void complain(Complaints& complaints, Place place, std::string problem, std::string remedy) {
  complaints.push_back({Trouble::bad_data, std::move(place), std::move(problem), std::move(remedy)});
}

std::string quoted(std::string_view text) {
  return '"' + std::string(text) + '"';
}

/// "a, b or c".
template <class Names>
std::string one_of(const Names& names) {
  std::string text;
  std::size_t left = std::size(names);
  for (const auto& name : names) {
    if (!text.empty()) text += left == 1 ? " or " : ", ";
    text += std::string_view(name);
    --left;
  }
  return text;
}

std::string shortest(double value) {
  std::array<char, 32> digits{};
  const std::to_chars_result end = std::to_chars(digits.data(), digits.data() + digits.size(), value);
  return {digits.data(), end.ptr};
}

/// The lines that are not empty, split; bad ones are left out and complained of.
std::vector<Line> split_lines(const std::string& source_name, std::string_view bytes,
                              Complaints& complaints) {
  std::vector<Line> lines;
  io::LineReader reader(source_name.c_str(), bytes.data(), bytes.data() + bytes.size());
  while (const char* text = reader.next_line()) {
    const int number = static_cast<int>(reader.get_file_line());
    if (*text == '\0') continue;
    if (auto cells = split_csv_line(text, ',', {source_name, number, 1, ""}, complaints))
      lines.push_back({number, *std::move(cells)});
  }
  return lines;
}

std::vector<std::string_view> names_of(std::span<const ColumnRule> rules) {
  std::vector<std::string_view> names;
  for (const ColumnRule& rule : rules)
    names.push_back(rule.name);
  return names;
}

const ColumnRule* find_rule(std::span<const ColumnRule> rules, std::string_view name) {
  const auto rule = std::ranges::find(rules, name, &ColumnRule::name);
  return rule == rules.end() ? nullptr : &*rule;
}

/// The rule of each column of the header, in the order of the file; null where there is none.
std::vector<const ColumnRule*> read_header(const Line& header, const Place& place,
                                           std::span<const ColumnRule> rules, Complaints& complaints) {
  std::vector<const ColumnRule*> columns;
  for (const CsvCell& cell : header.cells) {
    const Place at{place.source_name, header.number, cell.column, cell.text};
    const ColumnRule* rule = find_rule(rules, cell.text);
    if (rule == nullptr)
      complain(complaints, at, "no such column", "columns are " + one_of(names_of(rules)));
    else if (std::ranges::find(columns, rule) != columns.end())
      complain(complaints, at, "the column stands twice", "delete one of the two");
    columns.push_back(rule);
  }
  for (const ColumnRule& rule : rules)
    if (std::ranges::find(columns, &rule) == columns.end())
      complain(complaints, {place.source_name, header.number, 1, std::string(rule.name)},
               "the column is missing",
               "columns are " + one_of(names_of(rules)) + "; leave a cell empty where nothing is known");
  if (columns.front() != &rules.front())
    complain(complaints, {place.source_name, header.number, 1, std::string(rules.front().name)},
             "is not the first column", "put it first");
  return columns;
}

std::string allowed_numbers(const ColumnRule& rule) {
  if (rule.lowest && rule.highest)
    return "a number from " + shortest(*rule.lowest) + " to " + shortest(*rule.highest);
  if (rule.lowest) return "a number of " + shortest(*rule.lowest) + " or more";
  if (rule.highest) return "a number of " + shortest(*rule.highest) + " or less";
  return "a number";
}

bool in_range(double value, const ColumnRule& rule) {
  return (!rule.lowest || value >= *rule.lowest) && (!rule.highest || value <= *rule.highest);
}

void check_number(const CsvCell& cell, const ColumnRule& rule, const Place& place, Complaints& complaints) {
  const std::string remedy =
      "allowed is " + allowed_numbers(rule) + ", with a point as decimal mark and without a unit";
  const std::optional<double> value = parse_number(cell.text);
  if (!value)
    complain(complaints, place, quoted(cell.text) + " is not a number", remedy);
  else if (!in_range(*value, rule))
    complain(complaints, place, cell.text + " is out of range", remedy);
}

void check_cell(const CsvCell& cell, const ColumnRule& rule, const Place& place, Complaints& complaints) {
  const auto is_space = [](char letter) { return letter == ' ' || letter == '\t'; };
  if (cell.text.empty()) {
    if (rule.required)
      complain(complaints, place, "is empty",
               rule.kind == CellKind::number   ? "write " + allowed_numbers(rule)
               : rule.kind == CellKind::choice ? "write " + one_of(rule.choices)
                                               : "write its text");
  } else if (is_space(cell.text.front()) || is_space(cell.text.back())) {
    complain(complaints, place, quoted(cell.text) + " begins or ends with a space", "delete the space");
  } else if (rule.kind == CellKind::number) {
    check_number(cell, rule, place, complaints);
  } else if (rule.kind == CellKind::choice &&
             std::ranges::find(rule.choices, cell.text) == rule.choices.end()) {
    complain(complaints, place, quoted(cell.text) + " is not allowed", "allowed is " + one_of(rule.choices));
  }
}

bool is_key(std::string_view text) {
  return !text.empty() && std::ranges::all_of(text, [](char letter) {
    return (letter >= 'a' && letter <= 'z') || (letter >= '0' && letter <= '9') || letter == '-' ||
           letter == '_';
  });
}

void check_key(const std::string& key, const Place& place, std::map<std::string, int>& lines,
               Complaints& complaints) {
  if (!is_key(key)) {
    complain(complaints, place, quoted(key) + " is no key",
             "a key is of small letters, digits, - and _, for example \"pt-a\"");
    return;
  }
  const auto [found, fresh] = lines.emplace(key, place.line);
  if (!fresh)
    complain(complaints, place,
             "the key " + quoted(key) + " stands already in line " + std::to_string(found->second),
             "give each row a key of its own");
}

bool right_length(const Line& line, std::size_t columns, Place place, Complaints& complaints) {
  if (line.cells.size() == columns) return true;
  place.column = line.cells.size() > columns ? line.cells[columns].column : line.cells.back().column;
  complain(complaints, place,
           "the row has " + std::to_string(line.cells.size()) + " cells, the header " +
               std::to_string(columns),
           "write " + std::to_string(columns) + " cells, and put one that holds a comma in quotes");
  return false;
}

} // namespace

const TableRow::Cell& TableRow::cell(std::string_view column) const {
  const auto found = cells_.find(column);
  our_check(found != cells_.end(), "a row is asked only for columns that its rules name");
  return found->second;
}

const std::string& TableRow::text(std::string_view column) const {
  return cell(column).text;
}

Place TableRow::place_of(std::string_view column) const {
  return {place_.source_name, place_.line, cell(column).column, std::string(column)};
}

std::optional<double> TableRow::number(std::string_view column) const {
  const std::string& digits = text(column);
  if (digits.empty()) return std::nullopt;
  const std::optional<double> value = parse_number(digits);
  our_check(value.has_value(), "only columns of numbers are asked for a number");
  return value;
}

double TableRow::required_number(std::string_view column) const {
  const std::optional<double> value = number(column);
  our_check(value.has_value(), "only required columns are asked for a number that must be there");
  return *value;
}

Table Table::read(std::string_view source_name, std::string_view bytes, std::span<const ColumnRule> rules) {
  our_check(!rules.empty(), "a table has columns");
  const Place start{std::string(source_name), 1, 1, ""};
  Complaints complaints;
  if (bytes.find('\0') != std::string_view::npos)
    complain(complaints, start, "the file holds a zero byte", "save it as UTF-8 text");
  const std::vector<Line> lines = split_lines(start.source_name, bytes, complaints);
  if (!complaints.empty()) throw UserError(std::move(complaints));
  if (lines.empty())
    throw UserError({Trouble::bad_data, start, "the table is empty",
                     "the first line names the columns: " + one_of(names_of(rules))});
  const std::vector<const ColumnRule*> columns = read_header(lines.front(), start, rules, complaints);
  if (!complaints.empty()) throw UserError(std::move(complaints));

  Table table;
  std::map<std::string, int> key_lines;
  for (const Line& line : std::span(lines).subspan(1)) {
    const Place place{start.source_name, line.number, 1, std::string(rules.front().name)};
    if (!right_length(line, columns.size(), place, complaints)) continue;
    TableRow row;
    row.key_ = line.cells.front().text;
    row.place_ = {start.source_name, line.number, 1, row.key_};
    check_key(row.key_, place, key_lines, complaints);
    for (std::size_t i = 0; i < columns.size(); ++i) {
      const CsvCell& cell = line.cells[i];
      const ColumnRule& rule = *columns[i];
      if (i > 0)
        check_cell(cell, rule, {start.source_name, line.number, cell.column, std::string(rule.name)},
                   complaints);
      row.cells_.emplace(rule.name, TableRow::Cell{cell.text, cell.column});
    }
    table.rows_.push_back(std::move(row));
  }
  if (!complaints.empty()) throw UserError(std::move(complaints));
  return table;
}

const TableRow* Table::find(std::string_view key) const {
  const auto row = std::ranges::find(rows_, key, &TableRow::key);
  return row == rows_.end() ? nullptr : &*row;
}

} // namespace coldbag
