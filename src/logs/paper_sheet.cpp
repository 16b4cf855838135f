#include "logs/paper_sheet.h"

#include "errors/user_error.h"
#include "logs/cell.h"
#include "logs/dialect.h"
#include "logs/unit_words.h"
#include "quantity/parse.h"
#include "quantity/print.h"
#include "quantity/typed.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace coldbag {

namespace {

constexpr std::int64_t second_us = 1'000'000;
constexpr std::int64_t minute_us = 60 * second_us;
constexpr std::int64_t hour_us = 60 * minute_us;
constexpr std::int64_t day_us = 24 * hour_us;
constexpr std::int64_t longest_step_us = 12 * hour_us;
constexpr std::string_view remark_name = "Remark";
constexpr std::string_view by_key = "Transcribed by: ";
constexpr std::string_view interval_key = "Interval: ";

bool is_unit(std::string_view word) {
  constexpr std::array<std::string_view, 6> units{"C",
                                                  "F",
                                                  "c",
                                                  "f",
                                                  "\xC2\xB0"
                                                  "C",
                                                  "\xC2\xB0"
                                                  "F"};
  return std::find(units.begin(), units.end(), word) != units.end();
}

/// "98.4 > 97.1 C; 96, 95" as "98.4>97.1 C", "96", "95".
std::vector<std::string> words_of(std::string_view line) {
  std::string plain;
  for (const char c : line)
    plain += c == ';' || c == '\t' || c == '\r' ? ' ' : c;
  for (std::size_t at = plain.find('>'); at != std::string::npos; at = plain.find('>', at + 1)) {
    while (at > 0 && plain[at - 1] == ' ')
      plain.erase(--at, 1);
    while (at + 1 < plain.size() && plain[at + 1] == ' ')
      plain.erase(at + 1, 1);
  }
  std::vector<std::string> words;
  for (std::size_t at = 0; at < plain.size();) {
    const std::size_t end = std::min(plain.find(' ', at), plain.size());
    std::string word = plain.substr(at, end - at);
    if (word.size() > 1 && word.back() == ',') word.pop_back();
    if (is_unit(word) && !words.empty())
      words.back() += " " + word;
    else if (!word.empty())
      words.push_back(std::move(word));
    at = end + 1;
  }
  return words;
}

Typed<std::string> typed_value(std::string text, bool in_degF, const SheetRange& range) {
  const bool is_sure = !text.empty() && text.back() == '!';
  if (is_sure) text.pop_back();
  const auto number = typed_number(text);
  if (!number) return {{}, "\"" + text + "\" is no reading", "98.4, - for none, \" for the same as above"};
  const std::string& unit = number->unit;
  if (!unit.empty() && !is_unit(unit))
    return {{}, "\"" + text + "\" is no reading", "98.4, - for none, \" for the same as above"};
  if (!unit.empty() && ((unit.find_first_of("Ff") != std::string::npos) != in_degF))
    return {{},
            "\"" + unit + "\" is not the unit of this sheet",
            std::string("it is in ") + (in_degF ? "F" : "C")};
  if (!is_sure && (number->value < range.lowest || number->value > range.highest))
    return {{},
            number->digits + " is hardly a temperature here",
            "type " + number->digits + "! if the sheet says so"};
  return {number->digits, {}, {}};
}

Typed<SheetCell> typed_cell(const std::string& word, const std::string* above, bool in_degF,
                            const SheetRange& range) {
  if (word == "-") return {SheetCell{}, {}, {}};
  if (word == "\"" || word == "''") {
    if (above == nullptr || above->empty())
      return {{}, "there is no reading above to repeat", "type the reading, or - for none"};
    return {SheetCell{*above, ""}, {}, {}};
  }
  const std::size_t mark = word.find('>');
  if (mark == std::string::npos) {
    Typed<std::string> value = typed_value(word, in_degF, range);
    if (!value.value) return {{}, value.problem, value.remedy};
    return {SheetCell{*value.value, ""}, {}, {}};
  }
  SheetCell cell;
  // A crossed-out value is kept as it stands, however odd: that may be why it was crossed out.
  const auto old = typed_number(word.substr(0, mark));
  if (!old) return {{}, "\"" + word + R"(" has no reading before ">")", "98.4>97.1: 98.4 was crossed out"};
  cell.crossed_out = old->digits;
  const std::string stands = word.substr(mark + 1);
  if (stands.empty() || stands == "-") return {cell, {}, {}};
  Typed<std::string> value = typed_value(stands, in_degF, range);
  if (!value.value) return {{}, value.problem, value.remedy};
  cell.value = *value.value;
  return {cell, {}, {}};
}

/// Microseconds since midnight of "14:30", "1430", "14h30", "2:30 pm".
std::optional<std::int64_t> clock_us(std::string text) {
  text = lower_case(text);
  std::erase_if(text, [](char c) { return c == ' ' || c == '.'; });
  int afternoon = -1;
  for (const auto& [end, is_pm] : {std::pair<std::string_view, int>{"am", 0}, {"pm", 1}})
    if (text.ends_with(end)) {
      afternoon = is_pm;
      text.erase(text.size() - 2);
    }
  const std::size_t mark = text.find_first_of(":h");
  std::string digits = text;
  if (mark != std::string::npos) {
    if (text.size() != mark + 3) return {};
    digits.erase(mark, 1);
  }
  if (digits.size() < 3 || digits.size() > 4 ||
      !std::all_of(digits.begin(), digits.end(), [](char c) { return c >= '0' && c <= '9'; }))
    return {};
  int hour = std::stoi(digits.substr(0, digits.size() - 2));
  const int minute = std::stoi(digits.substr(digits.size() - 2));
  if (afternoon >= 0 && (hour < 1 || hour > 12)) return {};
  if (afternoon >= 0) hour = hour % 12 + 12 * afternoon;
  if (hour > 23 || minute > 59) return {};
  return hour * hour_us + minute * minute_us;
}

std::int64_t midnight_us(WallTime wall) {
  return wall.us - ((wall.us % day_us) + day_us) % day_us;
}

std::string quoted_cell(const std::string& text) {
  if (text.find_first_of(",\"") == std::string::npos) return text;
  std::string out = "\"";
  for (const char c : text)
    out += c == '"' ? std::string("\"\"") : std::string(1, c);
  return out + '"';
}

/// A remark is one line, whatever was typed.
std::string one_line(std::string text) {
  std::replace_if(
      text.begin(), text.end(), [](char c) { return static_cast<unsigned char>(c) < 0x20; }, ' ');
  return text;
}

std::string remark_of(const PaperSheet& sheet, const SheetRow& row) {
  std::string remark;
  for (std::size_t i = 0; i < row.cells.size(); ++i)
    if (!row.cells[i].crossed_out.empty())
      remark +=
          (remark.empty() ? "" : "; ") + sheet.probes[i] + ": " + row.cells[i].crossed_out + " crossed out";
  if (!row.note.empty()) remark += (remark.empty() ? "" : "; ") + one_line(row.note);
  return remark;
}

[[noreturn]] void refuse(const std::string& source_name, int line, std::string problem, std::string remedy) {
  throw UserError(
      {Trouble::bad_data, Place{source_name, line, 0, ""}, std::move(problem), std::move(remedy)});
}

std::vector<std::string> lines_of(std::string_view bytes) {
  std::vector<std::string> lines;
  for (std::size_t at = 0; at < bytes.size();) {
    const std::size_t end = std::min(bytes.find('\n', at), bytes.size());
    lines.emplace_back(trimmed(bytes.substr(at, end - at)));
    at = end + 1;
  }
  return lines;
}

void read_head(const std::string& source_name, const std::vector<std::string>& cells, int line,
               PaperSheet& sheet) {
  for (std::size_t i = 1; i + 1 < cells.size(); ++i) {
    const std::string& cell = cells[i];
    const bool in_degF = cell.ends_with(" (F)");
    if (!in_degF && !cell.ends_with(" (C)"))
      refuse(source_name, line, "column \"" + cell + "\" does not end in (C) or (F)",
             "go on with a file that coldbag type began");
    sheet.in_degF = in_degF;
    sheet.probes.push_back(cell.substr(0, cell.size() - 4));
  }
}

} // namespace

Typed<std::vector<SheetCell>> typed_cells(std::string_view line, const std::vector<std::string>& above,
                                          bool in_degF, const SheetRange& range) {
  const std::vector<std::string> words = words_of(line);
  if (words.empty()) return {std::vector<SheetCell>{SheetCell{}}, {}, {}};
  std::vector<SheetCell> cells;
  for (std::size_t i = 0; i < words.size(); ++i) {
    Typed<SheetCell> cell = typed_cell(words[i], i < above.size() ? &above[i] : nullptr, in_degF, range);
    if (!cell.value) return {{}, cell.problem, cell.remedy};
    cells.push_back(*cell.value);
  }
  return {cells, {}, {}};
}

Typed<WallTime> typed_time(std::string_view line, std::optional<WallTime> above, WallTime day) {
  const std::string text(trimmed(line));
  WallTime time;
  if (const auto iso = parse_iso_time(text); iso && iso->has_clock && text.find('-') != std::string::npos) {
    time = iso->wall;
  } else if (const auto clock = clock_us(text)) {
    time.us = midnight_us(above.value_or(day)) + *clock;
    if (above && time <= *above) time.us += day_us;
    if (above && time.us - above->us > longest_step_us)
      return {{},
              text + " is more than 12 h after the row above",
              "type it again, or with its date: " + print_iso_wall(time).substr(0, 10) + " " +
                  print_iso_wall(time).substr(11, 5)};
  } else {
    return {{}, "\"" + text + "\" is no time", "14:30 or 1430; Enter takes the time shown"};
  }
  if (above && time <= *above)
    return {{}, "this is not after the row above", "type the time of this row, with its date if need be"};
  return {time, {}, {}};
}

std::string sheet_head(const PaperSheet& sheet, Instant typed_at) {
  std::string text = "Readings from a paper sheet\n";
  text += std::string(by_key) + one_line(sheet.by) + "\n";
  text += "Transcribed at: " + print_iso_utc(std::chrono::floor<std::chrono::seconds>(typed_at)) + "\n";
  text += "Clock: as written by hand and good to 5 min either way\n";
  text += std::string(interval_key) + print_duration(sheet.interval_s) + "\n";
  text += "Time";
  for (const std::string& probe : sheet.probes)
    text += "," + quoted_cell(probe + (sheet.in_degF ? " (F)" : " (C)"));
  return text + "," + std::string(remark_name) + "\n";
}

std::string sheet_line(const PaperSheet& sheet, const SheetRow& row) {
  std::string text = print_iso_wall(row.time);
  text[10] = ' ';
  if (text.ends_with(":00")) text.erase(16);
  for (const SheetCell& cell : row.cells)
    text += "," + cell.value;
  return text + "," + quoted_cell(remark_of(sheet, row)) + "\n";
}

BegunSheet read_begun_sheet(const std::string& source_name, std::string_view bytes) {
  BegunSheet begun;
  const std::vector<std::string> lines = lines_of(bytes);
  if (bytes.empty() || bytes.back() != '\n')
    refuse(source_name, static_cast<int>(lines.size()), "the last line has no end: it was cut off in writing",
           "complete that line or take it out, then go on");
  bool has_head = false;
  for (std::size_t i = 0; i < lines.size(); ++i) {
    const std::string& line = lines[i];
    const int number = static_cast<int>(i) + 1;
    if (!has_head && line.starts_with(by_key)) begun.sheet.by = line.substr(by_key.size());
    if (!has_head && line.starts_with(interval_key))
      begun.sheet.interval_s =
          parse_quantity(line.substr(interval_key.size()), Dimension::duration).value.value_or(0);
    if (line.empty()) continue;
    const auto cells = cells_of(line, ',');
    if (!has_head && cells.front() == "Time" && cells.back() == remark_name) {
      read_head(source_name, cells, number, begun.sheet);
      has_head = true;
      continue;
    }
    if (!has_head) continue;
    const auto time = parse_iso_time(cells.front());
    if (!time || !time->has_clock || cells.size() != begun.sheet.probes.size() + 2)
      refuse(source_name, number, "this is no row as coldbag type writes it", "mend the line, then go on");
    begun.last_time = time->wall;
    begun.last_values.assign(cells.begin() + 1, cells.end() - 1);
    ++begun.row_count;
  }
  if (!has_head || begun.sheet.by.empty() || begun.sheet.interval_s <= 0 || begun.sheet.probes.empty())
    refuse(source_name, 0, "this is no sheet that coldbag type began",
           "begin one with coldbag type FILE.csv, or name the one you began");
  return begun;
}

} // namespace coldbag
