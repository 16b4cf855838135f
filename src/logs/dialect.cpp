#include "logs/dialect.h"

#include "errors/user_error.h"
#include "logs/encoding.h"
#include "logs/unit_words.h"

#include <array>
#include <map>
#include <optional>

namespace coldbag {

namespace {

bool is_blank(char c, char delimiter) {
  return c == ' ' || (c == '\t' && delimiter != '\t');
}

std::string_view without_blanks_behind(char* from, char* to, char delimiter) {
  while (to > from && is_blank(to[-1], delimiter))
    --to;
  return {from, static_cast<std::size_t>(to - from)};
}

/// A quoted cell; `at` stands behind the opening quote.
std::string_view take_quoted(char*& at, char* end, char delimiter) {
  char* const from = at;
  char* to = at;
  while (at < end) {
    if (*at == '"') {
      if (at + 1 == end || at[1] != '"') break;
      ++at;
    }
    *to++ = *at++;
  }
  while (at < end && *at != delimiter)
    ++at;
  at = at < end ? at + 1 : nullptr;
  return without_blanks_behind(from, to, delimiter);
}

/// How many lines have the commonest count of cells above one, and that count.
struct Agreement {
  std::size_t cells = 0;
  std::size_t lines = 0;
};

Agreement agreement_on(std::span<const SampleLine> lines, char delimiter) {
  std::map<std::size_t, std::size_t> lines_with;
  for (const SampleLine& line : lines)
    if (!trimmed(line.text).empty()) ++lines_with[cells_of(line.text, delimiter).size()];
  Agreement best;
  for (const auto& [cells, count] : lines_with)
    if (cells > 1 && count >= best.lines) best = {cells, count};
  return best;
}

std::size_t lines_with_text(std::span<const SampleLine> lines) {
  std::size_t count = 0;
  for (const SampleLine& line : lines)
    if (!trimmed(line.text).empty()) ++count;
  return count;
}

/// The mark in a cell that is digits, one mark, digits ("98,4"); else nothing.
std::optional<char> mark_in(std::string_view cell) {
  std::size_t at = !cell.empty() && (cell[0] == '+' || cell[0] == '-') ? 1 : 0;
  std::optional<char> mark;
  std::size_t digits = 0;
  for (; at < cell.size(); ++at) {
    const char c = cell[at];
    if (c >= '0' && c <= '9') {
      ++digits;
    } else if ((c == '.' || c == ',') && !mark) {
      mark = c;
    } else {
      break;
    }
  }
  const bool only_unit_left = at == cell.size() || (digits > 0 && find_temperature_unit(cell.substr(at)));
  return digits > 0 && only_unit_left ? mark : std::nullopt;
}

struct MarkCount {
  std::size_t cells = 0;
  int first_line = 0;
  std::string first_text;
};

void count_mark(MarkCount& count, int line, std::string_view cell) {
  if (count.cells++ > 0) return;
  count.first_line = line;
  count.first_text = shown(cell);
}

std::string times(std::size_t count, std::string_view one) {
  return std::to_string(count) + " " + std::string(one) + (count == 1 ? "" : "s");
}

} // namespace

std::string_view take_cell(char*& at, char* end, char delimiter) {
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

std::string delimiter_name(char delimiter) {
  switch (delimiter) {
  case ',':
    return "comma";
  case ';':
    return "semicolon";
  case '\t':
    return "tab";
  default:
    return std::string("\"") + delimiter + '"';
  }
}

Choice<char> find_delimiter(const std::string& source_name, std::span<const SampleLine> lines,
                            const LogOptions& options) {
  if (options.delimiter) return {*options.delimiter, How::given, "--delimiter"};
  // A comma may be a decimal mark, so tab and semicolon win where they agree as well as the comma does.
  const std::size_t all = lines_with_text(lines);
  char best = 0;
  Agreement most;
  for (const char delimiter : {'\t', ';', ','}) {
    const Agreement agreed = agreement_on(lines, delimiter);
    if (agreed.lines * 10 > most.lines * 11) {
      best = delimiter;
      most = agreed;
    }
  }
  if (most.lines == 0)
    throw UserError({Trouble::bad_data, Place{source_name, lines.empty() ? 0 : lines.front().number, 0, ""},
                     "no line has a comma, semicolon or tab between cells",
                     "say what stands between cells, for example --delimiter \";\""});
  return {best, How::found,
          std::to_string(most.lines) + " of " + times(all, "line") + (most.lines == 1 ? " has " : " have ") +
              times(most.cells - 1, delimiter_name(best))};
}

Choice<char> find_decimal_mark(const std::string& source_name, std::span<const SampleLine> rows,
                               char delimiter, const LogOptions& options) {
  if (options.decimal_mark) return {*options.decimal_mark, How::given, "--decimal"};
  MarkCount points;
  MarkCount commas;
  for (const SampleLine& row : rows)
    for (const std::string& cell : cells_of(row.text, delimiter))
      if (const auto mark = mark_in(cell)) count_mark(*mark == '.' ? points : commas, row.number, cell);
  if (points.cells > 0 && commas.cells > 0) {
    const MarkCount& rarer = points.cells < commas.cells ? points : commas;
    throw UserError({Trouble::bad_data, Place{source_name, rarer.first_line, 0, ""},
                     times(points.cells, "number") + " with a decimal point (" + points.first_text +
                         ") and " + std::to_string(commas.cells) + " with a decimal comma (" +
                         commas.first_text + ")",
                     "say which one is meant, for example --decimal \",\""});
  }
  if (points.cells > 0)
    return {'.', How::found, times(points.cells, "number") + " with a point, first " + points.first_text};
  if (commas.cells > 0)
    return {',', How::found, times(commas.cells, "number") + " with a comma, first " + commas.first_text};
  return {'.', How::assumed, "no number has a decimal mark"};
}

} // namespace coldbag
