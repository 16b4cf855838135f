#include "logs/dialect.h"

#include "errors/user_error.h"
#include "logs/cell.h"
#include "logs/encoding.h"
#include "logs/header.h"
#include "logs/unit_words.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <initializer_list>
#include <map>
#include <optional>

namespace coldbag {

namespace {

constexpr std::size_t lines_compared = 200;

bool is_blank(char c, char delimiter) {
  return c == ' ' || (c == '\t' && delimiter != '\t');
}

std::string_view without_blanks_behind(char* from, char* to, char delimiter) {
  while (to > from && is_blank(to[-1], delimiter))
    --to;
  return {from, static_cast<std::size_t>(to - from)};
}

/// A quoted cell; `at` stands behind the opening quote.
std::string_view take_quoted(char*& at, const char* end, char delimiter) {
  char* const from = at;
  char* to = at;
  while (at < end) {
    if (*at == '"') {
      if (at + 1 == end || at[1] != '"') break;
      ++at;
    }
    *to++ = *at++;
  }
  const auto is_end = [delimiter](char c) {
    return c == delimiter || (delimiter == blanks_delimiter && c == '\t');
  };
  while (at < end && !is_end(*at))
    ++at;
  at = at < end ? at + 1 : nullptr;
  return without_blanks_behind(from, to, delimiter);
}

/// A cell that ends at a blank or a tab; blanks at the end of the line part nothing.
std::string_view take_between_blanks(char*& at, char* end) {
  const auto skip = [&] {
    while (at < end && is_blank(*at, blanks_delimiter))
      ++at;
  };
  skip();
  std::string_view cell;
  if (at < end && *at == '"') {
    char* behind = ++at;
    cell = take_quoted(behind, end, blanks_delimiter);
    at = behind == nullptr ? end : behind;
  } else {
    char* const from = at;
    while (at < end && !is_blank(*at, blanks_delimiter))
      ++at;
    cell = {from, static_cast<std::size_t>(at - from)};
  }
  skip();
  if (at == end) at = nullptr;
  return cell;
}

/// How many lines have the commonest count of cells above one, and that count.
struct Agreement {
  std::size_t cells = 0;
  std::size_t lines = 0;
};

Agreement commonest(const std::map<std::size_t, std::size_t>& lines_with) {
  Agreement best;
  for (const auto& [cells, count] : lines_with)
    if (cells > 1 && count >= best.lines) best = {cells, count};
  return best;
}

/// How many cells most rows have, and how many lines have as many; of all lines where there is no row.
Agreement agreement_on(std::span<const SampleLine> lines, char delimiter) {
  std::map<std::size_t, std::size_t> lines_with;
  std::map<std::size_t, std::size_t> rows_with;
  for (const SampleLine& line : lines) {
    if (trimmed(line.text).empty()) continue;
    const auto cells = cells_of(line.text, delimiter);
    ++lines_with[cells.size()];
    if (looks_like_row(cells)) ++rows_with[cells.size()];
  }
  if (rows_with.empty()) return commonest(lines_with);
  const std::size_t cells = commonest(rows_with).cells;
  return {cells, lines_with[cells]};
}

/// What the rows use is not known yet, and both marks make a number here. A cell with another delimiter in it
/// is a piece of the line.
bool is_value(const std::string& cell) {
  if (cell.find_first_of(";|\t") != std::string::npos) return false;
  const CellLook look = look_at(cell, '.');
  return (look != CellLook::text && look != CellLook::empty) || look_at(cell, ',') == CellLook::number ||
         look_at(cell, ',') == CellLook::number_with_unit;
}

/// Lines that may be rows, each counted by the share of its filled cells that are values: a wrong delimiter
/// leaves pieces of several cells ("96.1  95").
double rows_by(std::span<const SampleLine> lines, char delimiter) {
  double sum = 0;
  for (const SampleLine& line : lines) {
    const auto cells = cells_of(line.text, delimiter);
    if (!looks_like_row(cells)) continue;
    const auto filled = cells.size() - static_cast<std::size_t>(std::count(cells.begin(), cells.end(), ""));
    sum += static_cast<double>(std::count_if(cells.begin(), cells.end(), is_value)) /
           static_cast<double>(filled);
  }
  return sum;
}

/// The delimiter that makes most rows, or with `only_rows` false that most lines agree on; a later one has to
/// be better by a tenth. A comma may be a decimal mark and a blank part of a cell, so they come last. 0 where
/// there is none.
char best_delimiter(std::span<const SampleLine> lines, std::initializer_list<char> delimiters,
                    bool only_rows) {
  lines = lines.first(std::min(lines.size(), lines_compared));
  char best = 0;
  double most = 0;
  for (const char delimiter : delimiters) {
    const double count =
        only_rows ? rows_by(lines, delimiter) : static_cast<double>(agreement_on(lines, delimiter).lines);
    if (count > most * 1.1) {
      best = delimiter;
      most = count;
    }
  }
  return best;
}

std::size_t lines_with_text(std::span<const SampleLine> lines) {
  std::size_t count = 0;
  for (const SampleLine& line : lines)
    if (!trimmed(line.text).empty()) ++count;
  return count;
}

/// What a cell shows of the decimal mark.
struct MarkSeen {
  char decimal = 0;
  bool certain = false; ///< another mark, or the same one again, parts thousands
};

/// Digits and marks of a number at the front of a cell: "1,234.5" of "1,234.5 Pa".
std::string_view digits_and_marks(std::string_view cell) {
  constexpr std::string_view minus_sign = "\u2212";
  cell = trimmed(cell);
  if (!cell.empty() && (cell[0] == '+' || cell[0] == '-')) cell.remove_prefix(1);
  if (cell.starts_with(minus_sign)) cell.remove_prefix(minus_sign.size());
  const std::size_t end = std::min(cell.find_first_not_of("0123456789.,"), cell.size());
  const std::string_view rest = cell.substr(end);
  return rest.empty() || find_temperature_unit(rest) || find_pressure_unit(rest) ? cell.substr(0, end)
                                                                                 : std::string_view();
}

/// Whether marks part groups of three behind one to three digits: "1,234,567".
bool parts_thousands(std::string_view digits, char mark) {
  const std::size_t first = digits.find(mark);
  if (first == std::string_view::npos || first == 0 || first > 3) return false;
  for (std::size_t at = first; at < digits.size(); at += 4) {
    const std::string_view group = digits.substr(at + 1, 3);
    if (digits[at] != mark || group.size() < 3 || group.find_first_of(".,") != std::string_view::npos)
      return false;
  }
  return true;
}

/// One mark may be decimal; two different ones, the second once, are thousands and decimal; one mark more
/// than once is for thousands.
std::optional<MarkSeen> mark_in(std::string_view cell) {
  const std::string_view digits = digits_and_marks(cell);
  const auto points = std::count(digits.begin(), digits.end(), '.');
  const auto commas = std::count(digits.begin(), digits.end(), ',');
  if (points + commas == 0 || digits.size() == 1) return std::nullopt;
  if (points + commas == 1) return MarkSeen{points == 1 ? '.' : ',', false};
  const char last = digits[digits.find_last_of(".,")];
  const char other = last == '.' ? ',' : '.';
  const bool last_once = (last == '.' ? points : commas) == 1;
  if (last_once && parts_thousands(digits.substr(0, digits.find(last)), other)) return MarkSeen{last, true};
  if (points * commas == 0 && parts_thousands(digits, last)) return MarkSeen{other, true};
  return std::nullopt;
}

struct MarkCount {
  std::size_t cells = 0;
  std::size_t certain = 0;
  bool all_may_part_thousands = true;
  int first_line = 0;
  std::string first_text;
};

void count_mark(MarkCount& count, const MarkSeen& seen, int line, std::string_view cell) {
  if (seen.certain) ++count.certain;
  if (seen.certain || !parts_thousands(digits_and_marks(cell), seen.decimal))
    count.all_may_part_thousands = false;
  if (count.cells++ > 0) return;
  count.first_line = line;
  count.first_text = shown(cell);
}

std::string delimiters(std::size_t count, char delimiter) {
  const bool one = count == 1;
  switch (delimiter) {
  case ',':
    return one ? "1 comma" : fmt::format("{} commas", count);
  case ';':
    return one ? "1 semicolon" : fmt::format("{} semicolons", count);
  case '\t':
    return one ? "1 tab" : fmt::format("{} tabs", count);
  case '|':
    return one ? "1 pipe" : fmt::format("{} pipes", count);
  case blanks_delimiter:
    return one ? "1 run of blanks" : fmt::format("{} runs of blanks", count);
  default:
    return fmt::format("{} \"{}\"", count, delimiter);
  }
}

std::string lines_with(std::size_t lines, std::size_t all, const std::string& what) {
  if (all == 1) return fmt::format("{} of 1 line has {}", lines, what);
  return lines == 1 ? fmt::format("1 of {} lines has {}", all, what)
                    : fmt::format("{} of {} lines have {}", lines, all, what);
}

/// A given mark that no number has would leave none readable.
void check_given_mark(const std::string& source_name, const MarkCount& given, const MarkCount& other,
                      bool comma) {
  if (given.cells > 0 || other.cells == 0 || other.all_may_part_thousands) return;
  throw UserError(
      {Trouble::bad_data, Place{source_name, other.first_line, 0, ""},
       comma ? "--decimal comma was given, but numbers have a decimal point, first " + other.first_text
             : "--decimal point was given, but numbers have a decimal comma, first " + other.first_text,
       "leave --decimal out"});
}

} // namespace

std::string_view take_cell(char*& at, char* end, char delimiter) {
  if (delimiter == blanks_delimiter) return take_between_blanks(at, end);
  while (at < end && is_blank(*at, delimiter))
    ++at;
  if (at < end && *at == '"') return take_quoted(++at, end, delimiter);
  char* const from = at;
  while (at < end && *at != delimiter)
    ++at;
  char* const to = at;
  at = at < end ? at + 1 : nullptr;
  return without_blanks_behind(from, to, delimiter);
}

std::vector<std::string> cells_of(std::string_view line, char delimiter) {
  std::string copy(line);
  std::vector<std::string> cells;
  for (char* at = copy.data(); at != nullptr;)
    cells.emplace_back(take_cell(at, copy.data() + copy.size(), delimiter));
  return cells;
}

bool looks_like_row(const std::vector<std::string>& cells) {
  if (cells.size() < 2) return false;
  if (std::any_of(cells.begin(), cells.end(), [](const std::string& c) { return names_a_time(c); }))
    return false;
  return std::count_if(cells.begin(), cells.end(), is_value) >= 2;
}

Choice<char> find_delimiter(const std::string& source_name, std::span<const SampleLine> lines,
                            const LogOptions& options) {
  if (options.delimiter) return {*options.delimiter, How::given, "--delimiter"};
  const std::size_t all = lines_with_text(lines);
  char best = best_delimiter(lines, {'\t', ';', '|', ',', blanks_delimiter}, true);
  // Without a single row, what agrees may still tell what is wrong.
  if (best == 0) best = best_delimiter(lines, {'\t', ';', '|', ','}, false);
  if (best == 0)
    throw UserError({Trouble::bad_data, Place{source_name, lines.empty() ? 0 : lines.front().number, 0, ""},
                     "no line has a comma, semicolon, tab, pipe or run of blanks between values",
                     "say what stands between cells, for example --delimiter semicolon"});
  const Agreement most = agreement_on(lines, best);
  return {best, How::found, lines_with(most.lines, all, delimiters(most.cells - 1, best))};
}

Choice<char> find_decimal_mark(const std::string& source_name, std::span<const SampleLine> rows,
                               char delimiter, const LogOptions& options) {
  MarkCount points;
  MarkCount commas;
  for (const SampleLine& row : rows)
    for (const std::string& cell : cells_of(row.text, delimiter))
      if (const auto seen = mark_in(cell))
        count_mark(seen->decimal == '.' ? points : commas, *seen, row.number, cell);
  // Beside a number that is certain ("1,234.5"), a mark before three digits ("1,013") parts thousands too.
  if (points.certain > 0 && commas.all_may_part_thousands) commas = {};
  if (commas.certain > 0 && points.all_may_part_thousands) points = {};
  if (options.decimal_mark) {
    const bool comma = *options.decimal_mark == ',';
    check_given_mark(source_name, comma ? commas : points, comma ? points : commas, comma);
    return {*options.decimal_mark, How::given, "--decimal"};
  }
  if (points.cells > 0 && commas.cells > 0) {
    const MarkCount& rarer = points.cells < commas.cells ? points : commas;
    throw UserError(
        {Trouble::bad_data, Place{source_name, rarer.first_line, 0, ""},
         points.cells == 1
             ? fmt::format("1 number with a decimal point ({}) and {} with a decimal comma ({})",
                           points.first_text, commas.cells, commas.first_text)
             : fmt::format("{} numbers with a decimal point ({}) and {} with a decimal comma ({})",
                           points.cells, points.first_text, commas.cells, commas.first_text),
         "say which one is meant, for example --decimal comma"});
  }
  if (points.cells > 0)
    return {'.', How::found,
            points.cells == 1
                ? "1 number with a point, first " + points.first_text
                : fmt::format("{} numbers with a point, first {}", points.cells, points.first_text)};
  if (commas.cells > 0)
    return {',', How::found,
            commas.cells == 1
                ? "1 number with a comma, first " + commas.first_text
                : fmt::format("{} numbers with a comma, first {}", commas.cells, commas.first_text)};
  return {'.', How::assumed, "no number has a decimal mark"};
}

} // namespace coldbag
