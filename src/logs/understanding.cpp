#include "logs/understanding.h"

#include "errors/user_error.h"
#include "logs/cell.h"
#include "logs/dialect.h"
#include "logs/encoding.h"
#include "logs/header.h"
#include "logs/lines.h"
#include "logs/long_layout.h"
#include "logs/time_column.h"
#include "logs/time_scan.h"
#include "logs/unit_words.h"

#include <algorithm>
#include <array>
#include <cstring>

namespace coldbag {

namespace {

constexpr std::size_t sample_bytes = std::size_t{256} << 10U;
constexpr std::size_t rows_looked_at = 500;

[[noreturn]] void refuse(Place place, std::string problem, std::string remedy) {
  throw UserError({Trouble::bad_data, std::move(place), std::move(problem), std::move(remedy)});
}

/// Bytes of the sample, cut behind a whole line where the log goes on.
std::string first_bytes(const Source& source) {
  const auto reader = source.open();
  std::string bytes(sample_bytes, '\0');
  std::size_t size = 0;
  while (size < bytes.size()) {
    const std::size_t got = reader->read(bytes.data() + size, bytes.size() - size);
    if (got == 0) break;
    size += got;
  }
  const bool goes_on = size == bytes.size();
  bytes.resize(size);
  if (!goes_on) return bytes;
  const std::size_t last = bytes.rfind('\n');
  if (last == std::string::npos)
    refuse(Place{source.name(), 1, 0, ""}, "the first 256 KiB are one line",
           "a log has a row a line; export it again as CSV text");
  bytes.resize(last + 1);
  return bytes;
}

/// What can be told from the bytes alone to be no log in UTF-8.
void check_is_text(const Source& source, std::string_view bytes) {
  const Place place{source.name(), 0, 0, ""};
  if (bytes.find_first_not_of(" \t\r\n") == std::string_view::npos)
    refuse(place, "is empty", "name a log with a header and rows");
  if (bytes.starts_with("\xFF\xFE") || bytes.starts_with("\xFE\xFF"))
    refuse(place, "is written in UTF-16, which is not yet read", "save it as UTF-8 text");
  if (bytes.starts_with("PK\x03\x04"))
    refuse(place, "is a packed file or a spreadsheet workbook, not text",
           "save the sheet of readings as CSV text in UTF-8");
  const auto nul = static_cast<std::size_t>(std::count(bytes.begin(), bytes.end(), '\0'));
  if (nul * 4 > bytes.size())
    refuse(place,
           "is not text: " + std::to_string(nul) + " of its first " + std::to_string(bytes.size()) +
               " bytes are zero",
           "save it as UTF-8 text");
  if (bytes.find('\n') == std::string_view::npos && trimmed(bytes).find('\r') < bytes.size() - 1 &&
      bytes.find('\r') != std::string_view::npos)
    refuse(place, "its lines end in carriage returns alone", "save it with LF or CR LF line ends");
}

std::vector<SampleLine> sample_lines(const Source& source, std::string bytes) {
  const Source sample = Source::memory(source.name(), std::move(bytes));
  Lines lines(sample);
  std::vector<SampleLine> sampled;
  for (Line line; lines.next(line);)
    sampled.push_back({line.number, std::string(line.view())});
  return sampled;
}

/// A word of a column's name, "rh" in "RH 1" but not in "Rhine".
bool has_word(const std::string& lower_name, std::string_view word) {
  const auto is_letter = [](char c) { return c >= 'a' && c <= 'z'; };
  for (std::size_t at = lower_name.find(word); at != std::string::npos; at = lower_name.find(word, at + 1)) {
    const std::size_t end = at + word.size();
    if ((at == 0 || !is_letter(lower_name[at - 1])) &&
        (end == lower_name.size() || !is_letter(lower_name[end])))
      return true;
  }
  return false;
}

/// Words in the names of columns that hold no probe's temperature, even in degrees; common practice, no
/// source.
std::optional<std::string_view> word_of_another_reading(const std::string& name) {
  constexpr std::array<std::string_view, 11> words{"humidity",  "rh",        "battery",  "batt",
                                                   "voltage",   "dew point", "dewpoint", "setpoint",
                                                   "set point", "alarm",     "alarms"};
  const std::string lower = lower_case(name);
  const auto* const word =
      std::find_if(words.begin(), words.end(), [&](std::string_view w) { return has_word(lower, w); });
  return word == words.end() ? std::nullopt : std::optional(*word);
}

/// Whether a name is made of nothing but words for counting and remarks ("Row", "Sample no.", "#").
bool is_bookkeeping(const std::string& name) {
  constexpr std::array<std::string_view, 24> words{
      "row",     "no",   "nr",     "number", "#",      "index",   "sample",  "record",
      "reading", "id",   "status", "state",  "event",  "events",  "count",   "serial",
      "signal",  "mark", "note",   "notes",  "remark", "remarks", "comment", "line"};
  const std::string lower = lower_case(name);
  std::size_t known = 0;
  for (std::size_t at = 0; at < lower.size();) {
    const std::size_t end = std::min(lower.find_first_of(" ._", at), lower.size());
    const std::string_view word = std::string_view(lower).substr(at, end - at);
    if (!word.empty() && std::find(words.begin(), words.end(), word) == words.end()) return false;
    known += word.empty() ? 0 : 1;
    at = end + 1;
  }
  return known > 0;
}

/// Decides column after column; complaints are gathered so that all are said at once.
class ColumnChoice {
 public:
  ColumnChoice(const Source& source, const Header& header, std::span<const ColumnLooks> looks,
               const TimeFound& time, const LogOptions& options)
      : header_(header), looks_(looks), time_(time), options_(options) {
    for (const std::string& name : options.probe_columns)
      probes_.push_back(column_named(source.name(), header, name, "probe"));
    if (options.pressure_column)
      pressure_ = column_named(source.name(), header, *options.pressure_column, "--pressure-column");
  }

  std::vector<LogColumn> all() {
    std::vector<LogColumn> columns;
    for (int i = 0; i < static_cast<int>(header_.cells.size()); ++i)
      columns.push_back(one(i));
    if (!complaints_.empty()) throw UserError(complaints_);
    check_option_is_obeyed(columns);
    tell_apart(columns);
    return columns;
  }

 private:
  [[nodiscard]] const HeaderName& name(int i) const {
    return header_.cells[static_cast<std::size_t>(i)].name;
  }
  [[nodiscard]] const ColumnLooks& look(int i) const { return looks_[static_cast<std::size_t>(i)]; }

  LogColumn one(int i) {
    LogColumn column;
    column.name = name(i).name;
    column.position = i + 1;
    column.place = header_.cells[static_cast<std::size_t>(i)].place;
    const bool is_time = i == time_.time || i == time_.date;
    if (is_time && (i == pressure_ || std::find(probes_.begin(), probes_.end(), i) != probes_.end()))
      complain(column, "holds the times, but is named for readings too",
               "name another column for the times with --time-column, or for the readings");
    else if (is_time)
      set_time(column, i);
    else if (i == pressure_)
      set_given_pressure(column, i);
    else if (!probes_.empty())
      set_probe_or_not(column, i);
    else
      set_by_looks(column, i);
    return column;
  }

  void set_time(LogColumn& column, int i) const {
    const ColumnKind kind = i == time_.date   ? ColumnKind::date
                            : time_.date >= 0 ? ColumnKind::clock
                                              : ColumnKind::time;
    column.kind = {kind, time_.how, time_.evidence};
    column.unit = time_.unit;
  }

  static void ignore(LogColumn& column, How how, std::string why) {
    column.kind = {ColumnKind::ignored, how, std::move(why)};
  }

  void complain(const LogColumn& column, std::string problem, std::string remedy) {
    Place place = column.place;
    place.key_path = column.name;
    complaints_.push_back({Trouble::bad_data, place, std::move(problem), std::move(remedy)});
  }

  void set_probe_or_not(LogColumn& column, int i) {
    if (std::find(probes_.begin(), probes_.end(), i) == probes_.end()) {
      if (is_pressure_by_header(i)) return set_pressure(column, i);
      return ignore(column, How::given, "no probe is in this column");
    }
    if (look(i).numbers == 0 && look(i).filled() > 0)
      return complain(column, "holds no numbers: \"" + shown(look(i).first) + '"',
                      "name a column of temperatures for this probe");
    column.kind = {ColumnKind::temperature, How::given, "a probe is in this column"};
    set_temperature_unit(column, i);
  }

  void set_by_looks(LogColumn& column, int i) {
    if (const auto word = word_of_another_reading(column.name))
      return ignore(column, How::found, "the name says \"" + std::string(*word) + '"');
    if (!name(i).unit && (is_bookkeeping(column.name) || names_a_time(column.name)))
      return ignore(column, How::found, "the name says \"" + shown(column.name) + '"');
    if (is_pressure_by_header(i)) return set_pressure(column, i);
    if (!name(i).unit_text.empty() && !(name(i).unit && is_temperature(name(i).unit->unit)))
      return ignore(column, How::found, "the unit \"" + shown(name(i).unit_text) + "\" is no temperature");
    if (look(i).filled() == 0 && !name(i).unit)
      return ignore(column, How::found, "the first rows are empty here, and the header has no unit");
    if (look(i).filled() > 0 && look(i).numbers * 2 <= look(i).filled() && !name(i).unit)
      return ignore(column, How::found, "holds no numbers: \"" + shown(look(i).first) + '"');
    column.kind = {ColumnKind::temperature, How::found, temperature_evidence(i)};
    set_temperature_unit(column, i);
  }

  [[nodiscard]] std::string temperature_evidence(int i) const {
    if (name(i).unit) return "the header's unit is \"" + shown(name(i).unit_text) + '"';
    return std::to_string(look(i).numbers) + " of " + std::to_string(look(i).filled() + look(i).missing) +
           " first rows are numbers";
  }

  void set_temperature_unit(LogColumn& column, int i) {
    if (name(i).unit && is_temperature(name(i).unit->unit)) {
      column.unit = {name(i).unit->unit, How::found, "the header says \"" + shown(name(i).unit_text) + '"'};
    } else if (options_.temperature_unit) {
      column.unit = {*options_.temperature_unit, How::given, "--unit"};
    } else if (header_.preamble.temperature_unit) {
      column.unit = {*header_.preamble.temperature_unit, How::found, header_.preamble.temperature_unit_text};
    } else if (look(i).cell_unit && !look(i).units_differ && look(i).with_unit == look(i).numbers) {
      column.unit = {*look(i).cell_unit, How::found, "cells say it, first \"" + shown(look(i).first) + '"'};
    } else {
      complain(column, "has no temperature unit",
               "write it in the header, for example \"" + column.name +
                   " (C)\", or say --unit C or --unit F");
    }
  }

  [[nodiscard]] bool is_pressure_by_header(int i) const {
    return (name(i).unit && is_pressure(name(i).unit->unit)) ||
           has_word(lower_case(name(i).name), "pressure");
  }

  [[nodiscard]] ColumnUnit pressure_unit(int i, How& how) const {
    how = How::found;
    if (name(i).unit && is_pressure(name(i).unit->unit)) return name(i).unit->unit;
    how = How::given;
    return options_.pressure_unit.value_or(ColumnUnit::none);
  }

  [[nodiscard]] PressureBasis pressure_basis(int i) const {
    if (name(i).unit && is_pressure(name(i).unit->unit) && name(i).unit->basis != PressureBasis::unstated)
      return name(i).unit->basis;
    const std::string lower = lower_case(name(i).name);
    if (has_word(lower, "gauge")) return PressureBasis::gauge;
    if (has_word(lower, "absolute") || has_word(lower, "abs")) return PressureBasis::absolute;
    return options_.pressure_basis;
  }

  /// Whether unit and basis are both known; sets them where they are.
  bool fill_pressure(LogColumn& column, int i) const {
    How how{};
    const ColumnUnit unit = pressure_unit(i, how);
    const PressureBasis basis = pressure_basis(i);
    if (unit == ColumnUnit::none || basis == PressureBasis::none || basis == PressureBasis::unstated)
      return false;
    column.unit = {unit, how,
                   how == How::found ? "the header says \"" + shown(name(i).unit_text) + '"'
                                     : "--pressure-unit"};
    column.pressure_basis = basis;
    return true;
  }

  void set_pressure(LogColumn& column, int i) const {
    if (pressure_ >= 0) return ignore(column, How::given, "another column is the vessel's pressure");
    if (fill_pressure(column, i))
      column.kind = {ColumnKind::pressure, How::found, "the header names a pressure"};
    else
      ignore(column, How::found, "a pressure whose unit, or whether it is gauge or absolute, is not said");
  }

  void set_given_pressure(LogColumn& column, int i) {
    column.kind = {ColumnKind::pressure, How::given, "--pressure-column"};
    if (!fill_pressure(column, i))
      complain(column, "this pressure has no unit, or does not say whether it is gauge or absolute",
               "write it in the header, for example \"" + column.name + " (kPa gauge)\"");
  }

  /// A unit that was given and contradicts every column would be overlooked in silence.
  void check_option_is_obeyed(const std::vector<LogColumn>& columns) const {
    if (!options_.temperature_unit) return;
    const LogColumn* against = nullptr;
    for (const LogColumn& column : columns) {
      if (column.kind.value != ColumnKind::temperature) continue;
      if (column.unit.value == *options_.temperature_unit) return;
      if (against == nullptr) against = &column;
    }
    if (against == nullptr) return;
    Place place = against->place;
    place.key_path = against->name;
    refuse(place,
           against->unit.evidence + ", but --unit " + unit_symbol(*options_.temperature_unit) + " was given",
           "leave --unit out, or mend the header");
  }

  /// Probes are known by name, so two columns of one name are told apart.
  static void tell_apart(std::vector<LogColumn>& columns) {
    for (std::size_t i = 0; i < columns.size(); ++i)
      for (std::size_t j = 0; j < i; ++j)
        if (columns[i].name == columns[j].name) {
          columns[i].name += " (column " + std::to_string(columns[i].position) + ")";
          break;
        }
  }

  const Header& header_;
  std::span<const ColumnLooks> looks_;
  const TimeFound& time_;
  const LogOptions& options_;
  std::vector<int> probes_;
  int pressure_ = -1;
  std::vector<Complaint> complaints_;
};

void check_has_temperature(const Source& source, const Header& header,
                           const std::vector<LogColumn>& columns) {
  std::string names;
  for (const LogColumn& column : columns) {
    if (column.kind.value == ColumnKind::temperature) return;
    names += (names.empty() ? "\"" : ", \"") + column.name + '"';
    if (column.kind.value == ColumnKind::ignored) names += " (" + column.kind.evidence + ")";
  }
  refuse(
      Place{source.name(), header.header_line, 0, ""}, "no column holds temperatures: " + names,
      "name temperature columns with their unit, for example \"Core 1 (C)\"; if cells are cut wrongly, say "
      "--delimiter or --decimal");
}

Choice<std::string> encoding_of(std::string_view bytes, std::span<const SampleLine> lines) {
  if (bytes.starts_with(utf8_mark)) return {"UTF-8 with mark", How::found, "the first bytes are the mark"};
  for (const SampleLine& line : lines)
    if (line.text.find(marked_character) != std::string::npos)
      return {"UTF-8", How::assumed,
              "line " + std::to_string(line.number) + " has bytes that are no UTF-8; they show as \"?\""};
  return {"UTF-8", How::found, "the first lines are UTF-8"};
}

} // namespace

Understanding understand(const Source& source, const LogOptions& options) {
  const std::string bytes = first_bytes(source);
  check_is_text(source, bytes);
  const std::vector<SampleLine> lines = sample_lines(source, bytes);
  const std::span<const SampleLine> looked_at(lines.data(), std::min(lines.size(), rows_looked_at));

  Understanding understanding;
  understanding.encoding = encoding_of(bytes, lines);
  understanding.delimiter = find_delimiter(source.name(), looked_at, options);
  const char delimiter = understanding.delimiter.value;
  const Header header = find_header(source.name(), looked_at, delimiter);
  const auto rows = looked_at.subspan(header.first_row);
  understanding.decimal_mark = find_decimal_mark(source.name(), rows, delimiter, options);
  const auto looks = look_at_columns(rows, delimiter, understanding.decimal_mark.value, header.cells.size());
  TimeFound time = find_time(source.name(), header, looks, options);
  TimePlace where{time.time, time.date, delimiter, rows.front().number,
                  header.cells[static_cast<std::size_t>(time.time)].place};
  where.column.key_path = header.cells[static_cast<std::size_t>(time.time)].name.name;
  settle_time(source, where,
              looked_at.first(header.header_line > 0 ? static_cast<std::size_t>(header.preamble_lines)
                                                     : header.first_row),
              options, time);
  understanding.preamble_lines = header.preamble_lines;
  understanding.header_line = header.header_line;
  understanding.first_data_line = rows.front().number;
  understanding.time = time.rule;
  if (!header.preamble.by_hand_text.empty())
    understanding.by_hand = {true, How::found, header.preamble.by_hand_text};
  understanding.columns = ColumnChoice(source, header, looks, time, options).all();
  check_has_temperature(source, header, understanding.columns);
  find_long_layout(source, where, understanding);
  return understanding;
}

} // namespace coldbag
