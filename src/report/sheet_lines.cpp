#include "report/sheet_lines.h"

#include "report/layout.h"

#include <algorithm>
#include <utility>

namespace coldbag {

namespace {

constexpr std::size_t screen_columns = 80;

/// As much of a word as a cell takes; the word is wider.
std::string piece_of(const std::string& word, std::size_t width) {
  std::string piece = cut(word + " ", width + 1);
  piece.pop_back(); // the mark of what was cut
  return piece;
}

} // namespace

void append_lines(PrintedLines& to, const PrintedLines& more) {
  to.insert(to.end(), more.begin(), more.end());
}

PrintedLines lines_of_text(const std::string& text) {
  PrintedLines lines;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t end = std::min(text.find('\n', at), text.size());
    lines.push_back(text.substr(at, end - at));
    at = end + 1;
  }
  return lines;
}

// wrapped() fills a screen; what a sheet is narrower by goes in as blanks and out again.
PrintedLines sheet_paragraph(const std::string& text, std::size_t indent) {
  constexpr std::size_t margin = screen_columns - columns_of_sheet;
  PrintedLines lines = lines_of_text(wrapped(std::string(margin, ' ') + text, indent + margin));
  for (std::string& line : lines)
    line.erase(0, margin);
  return lines;
}

PrintedLines sheet_item(const std::string& text) {
  return sheet_paragraph("- " + text, 2);
}

std::string sheet_field(const std::string& label, const std::string& value, std::size_t width,
                        const std::string& unit) {
  const std::string begin = label + " ";
  if (!value.empty()) return padded(cut(begin + value, width), width);
  const std::string end = unit.empty() ? "" : " " + unit;
  const std::size_t used = screen_length(begin) + screen_length(end);
  return begin + std::string(used < width ? width - used : 0, '_') + end;
}

std::string side_by_side(const std::string& left, const std::string& right) {
  return padded(left, half_of_sheet) + " " + right;
}

std::string without_blanks_at_end(std::string line) {
  line.erase(line.find_last_not_of(' ') + 1);
  return line;
}

PrintedLines sheet_cell(const std::string& text, std::size_t width) {
  PrintedLines lines;
  std::string line;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t end = std::min(text.find(' ', at), text.size());
    std::string word = text.substr(at, end - at);
    at = end + 1;
    if (word.empty()) continue;
    if (!line.empty() && screen_length(line) + 1 + screen_length(word) > width)
      lines.push_back(std::exchange(line, ""));
    while (screen_length(word) > width) {
      lines.push_back(piece_of(word, width));
      word.erase(0, lines.back().size());
    }
    line += (line.empty() ? "" : " ") + word;
  }
  if (!line.empty()) lines.push_back(line);
  return lines;
}

} // namespace coldbag
