#include "tables/csv_line.h"

#include <algorithm>

namespace coldbag {

namespace {

/// The text between quotes from line[at] on, a doubled quote standing for one; moves `at` behind the closing
/// one. Nothing where the quote is never closed: a cell ends on the line on which it began.
std::optional<std::string> take_quoted(std::string_view line, std::size_t& at) {
  std::string text;
  for (++at; at < line.size(); ++at) {
    if (line[at] != '"') {
      text += line[at];
    } else if (at + 1 < line.size() && line[at + 1] == '"') {
      text += line[at++];
    } else {
      ++at;
      return text;
    }
  }
  return std::nullopt;
}

std::string take_plain(std::string_view line, char separator, std::size_t& at) {
  const std::size_t end = std::min(line.find(separator, at), line.size());
  std::string text(line.substr(at, end - at));
  at = end;
  return text;
}

} // namespace

std::optional<std::vector<CsvCell>> split_csv_line(std::string_view line, char separator, Place place,
                                                   std::vector<Complaint>& complaints) {
  std::vector<CsvCell> cells;
  for (std::size_t at = 0;; ++at) {
    place.column = static_cast<int>(at) + 1;
    const bool quote = at < line.size() && line[at] == '"';
    std::optional<std::string> text = quote ? take_quoted(line, at) : take_plain(line, separator, at);
    if (!text) {
      complaints.push_back(
          {Trouble::bad_data, place, "a quote is opened and not closed",
           R"(close it on the same line, and write a quote inside a cell twice: "5"" pipe")"});
      return std::nullopt;
    }
    if (quote ? at < line.size() && line[at] != separator : text->find('"') != std::string::npos) {
      complaints.push_back(
          {Trouble::bad_data, place, "a quote stands inside a cell",
           R"(put the whole cell in quotes and write each quote inside it twice: "5"" pipe")"});
      return std::nullopt;
    }
    cells.push_back({*std::move(text), place.column});
    if (at >= line.size()) return cells;
  }
}

} // namespace coldbag
