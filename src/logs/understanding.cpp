#include "logs/understanding.h"

#include "errors/user_error.h"
#include "logs/cell.h"
#include "logs/dialect.h"
#include "logs/encoding.h"
#include "logs/header.h"
#include "logs/lines.h"
#include "logs/long_layout.h"
#include "logs/summary_columns.h"
#include "logs/time_column.h"
#include "logs/time_scan.h"
#include "logs/unit_words.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cstring>
#include <initializer_list>
#include <map>

namespace coldbag {

namespace {

constexpr std::size_t sample_bytes = std::size_t{256} << 10U;
constexpr std::size_t rows_looked_at = 500;

[[noreturn]] void refuse(Place place, std::string problem, std::string remedy) {
  throw UserError({Trouble::bad_data, std::move(place), std::move(problem), std::move(remedy)});
}

/// At most so many bytes from the front of a source.
std::string bytes_at_front(const Source& source, std::size_t most) {
  const auto reader = source.open();
  std::string bytes(most, '\0');
  std::size_t size = 0;
  while (size < bytes.size()) {
    const std::size_t got = reader->read(bytes.data() + size, bytes.size() - size);
    if (got == 0) break;
    size += got;
  }
  bytes.resize(size);
  return bytes;
}

/// Text of the first bytes, cut behind a whole line where the log goes on.
std::string first_text(const Source& source, std::string bytes, TextEncoding encoding) {
  const bool goes_on = bytes.size() == sample_bytes;
  const Source sample = in_utf8(Source::memory(source.name(), std::move(bytes)), encoding);
  std::string text = bytes_at_front(sample, 3 * sample_bytes);
  if (!goes_on) return text;
  const std::size_t last = text.find_last_of("\r\n");
  if (last == std::string::npos)
    refuse(Place{source.name(), 1, 0, ""}, "the first 256 KiB are one line",
           "a log has a row a line; export it again as CSV text");
  text.resize(last + 1);
  return text;
}

/// Beginnings of files that hold no rows of text: signatures of RFC 1952 (gzip), ISO 32000 (PDF), RFC 8259
/// (JSON), and of packed files, workbooks, XML and HTML (common practice, no source).
struct NoLog {
  std::string_view beginning;
  const char* what;
  const char* remedy;
};
constexpr const char* save_sheet = "save the sheet of readings as CSV text in UTF-8";
constexpr std::array<NoLog, 9> kinds_of_no_log{{
    {"PK\x03\x04", "is a packed file or a spreadsheet workbook, not text", save_sheet},
    {"\xD0\xCF\x11\xE0", "is a spreadsheet workbook, not text", save_sheet},
    {"\x1F\x8B", "is a packed file (gzip), not text", "unpack it and name the log in it"},
    {"%PDF-", "is a page description (PDF), not a table", "export the readings themselves as CSV text"},
    {"<?xml", "is XML, not a table", "export the readings as CSV text"},
    {"<!DOCTYPE", "is a web page, not a table", "export the readings as CSV text"},
    {"<html", "is a web page, not a table", "export the readings as CSV text"},
    {"{\"", "is JSON, not a table", "export the readings as CSV text"},
    {"[{", "is JSON, not a table", "export the readings as CSV text"},
}};

/// What can be told from the bytes alone to be no log.
void check_is_text(const Source& source, std::string_view bytes) {
  const Place place{source.name(), 0, 0, ""};
  if (bytes.find_first_not_of(std::string_view(" \t\r\n\0\x1a", 6)) == std::string_view::npos)
    refuse(place, "is empty", "name a log with a header and rows");
  const std::string_view text =
      bytes.substr(std::min(bytes.find_first_not_of(" \t\r\n\xEF\xBB\xBF"), bytes.size()));
  for (const auto& [beginning, what, remedy] : kinds_of_no_log)
    if (text.starts_with(beginning)) refuse(place, what, remedy);
}

std::vector<SampleLine> sample_lines(const Source& source, std::string bytes) {
  const Source sample = Source::memory(source.name(), std::move(bytes));
  Lines lines(sample);
  std::vector<SampleLine> sampled;
  for (Line line; lines.next(line);)
    sampled.push_back({line.number, std::string(line.view())});
  return sampled;
}

/// A word of a folded name, "rh" in "rh 1" but not in "rhine".
bool has_word(const std::string& folded_name, std::string_view word) {
  const auto is_letter = [](char c) { return c >= 'a' && c <= 'z'; };
  for (std::size_t at = folded_name.find(word); at != std::string::npos;
       at = folded_name.find(word, at + 1)) {
    const std::size_t end = at + word.size();
    if ((at == 0 || !is_letter(folded_name[at - 1])) &&
        (end == folded_name.size() || !is_letter(folded_name[end])))
      return true;
  }
  return false;
}

bool has_any_word(const std::string& folded_name, std::initializer_list<std::string_view> words) {
  return std::any_of(words.begin(), words.end(),
                     [&](std::string_view word) { return has_word(folded_name, word); });
}

/// Words in the names of columns that hold no probe's temperature and not the vessel's pressure, whatever
/// their unit; in English and Spanish. Common practice, no source.
std::optional<std::string_view> word_of_another_reading(const std::string& name) {
  constexpr std::array<std::string_view, 26> words{
      "humidity", "rh",        "battery", "batt",        "voltage",    "dew point",  "dewpoint",
      "setpoint", "set point", "alarm",   "alarms",      "barometer",  "barometric", "atmospheric",
      "humedad",  "hr",        "bateria", "pila",        "voltaje",    "tension",    "punto de rocio",
      "rocio",    "consigna",  "alarma",  "barometrica", "atmosferica"};
  const std::string key = folded(name);
  const auto* const word =
      std::find_if(words.begin(), words.end(), [&](std::string_view w) { return has_word(key, w); });
  return word == words.end() ? std::nullopt : std::optional(*word);
}

/// Whether a name is made of nothing but words for counting and remarks ("Row", "Sample no.", "#").
bool is_bookkeeping(const std::string& name) {
  constexpr std::array<std::string_view, 39> words{
      "row",     "no",     "nr",      "number", "#",       "index",      "sample",       "record",
      "reading", "id",     "status",  "state",  "event",   "events",     "count",        "serial",
      "signal",  "mark",   "note",    "notes",  "remark",  "remarks",    "comment",      "line",
      "fila",    "num",    "nro",     "numero", "n\u00BA", "n\u00B0",    "registro",     "muestra",
      "estado",  "evento", "eventos", "nota",   "notas",   "comentario", "observaciones"};
  std::string key = folded(name);
  for (const std::string_view sign : {".\u00BA", ".\u00B0"}) // "N.\u00BA" is "N\u00BA"
    for (std::size_t at = key.find(sign); at != std::string::npos; at = key.find(sign))
      key.erase(at, 1);
  std::size_t known = 0;
  for (std::size_t at = 0; at < key.size();) {
    const std::size_t end = std::min(key.find_first_of(" ._", at), key.size());
    const std::string_view word = std::string_view(key).substr(at, end - at);
    if (!word.empty() && std::find(words.begin(), words.end(), word) == words.end()) return false;
    known += word.empty() ? 0 : 1;
    at = end + 1;
  }
  return known > 0;
}

/// The first rows without lines of names alone: the header once more, another table's, remarks.
std::vector<SampleLine> rows_without_names(std::span<const SampleLine> lines, char delimiter) {
  std::vector<SampleLine> rows;
  for (const SampleLine& line : lines) {
    const auto cells = cells_of(line.text, delimiter);
    const bool names = std::all_of(cells.begin(), cells.end(), [](const std::string& cell) {
      return cell.empty() || look_at(cell, '.') == CellLook::text;
    });
    if (!names || rows.empty()) rows.push_back(line);
  }
  return rows;
}

/// What the first rows show of a column beyond the looks of its cells.
struct ColumnHabit {
  std::size_t filled = 0;
  std::size_t units = 0; ///< cells that are nothing but a unit of temperature or pressure
  WrittenUnit first_unit;
  bool counts = true; ///< each cell is a whole number, one more than the cell before
  long last = 0;
};

void count_habit(ColumnHabit& habit, const std::string& cell) {
  if (cell.empty()) return;
  const auto unit = find_column_unit(cell);
  if (unit && !is_duration(unit->unit) && habit.units++ == 0) habit.first_unit = *unit;
  long number = 0;
  const auto [end, fault] = std::from_chars(cell.data(), cell.data() + cell.size(), number);
  const bool whole = fault == std::errc{} && end == cell.data() + cell.size();
  habit.counts = habit.counts && whole && (habit.filled == 0 || number - 1 == habit.last);
  habit.last = number;
  ++habit.filled;
}

std::vector<ColumnHabit> habits_of(std::span<const SampleLine> rows, char delimiter, std::size_t columns) {
  std::vector<ColumnHabit> habits(columns);
  for (const SampleLine& row : rows) {
    const auto cells = cells_of(row.text, delimiter);
    for (std::size_t i = 0; i < std::min(columns, cells.size()); ++i)
      count_habit(habits[i], cells[i]);
  }
  return habits;
}

/// Decides column after column; complaints are gathered so that all are said at once.
class ColumnChoice {
 public:
  ColumnChoice(const Source& source, const Header& header, std::span<const ColumnLooks> looks,
               std::span<const ColumnHabit> habits, const TimeFound& time, const LogOptions& options)
      : header_(header), looks_(looks), habits_(habits), time_(time), options_(options) {
    for (const std::string& name : options.probe_columns)
      probes_.push_back(column_named(source.name(), header, name, "probe"));
    if (options.pressure_column)
      pressure_ = column_named(source.name(), header, *options.pressure_column, "--pressure-column");
    give_unit_columns();
  }

  std::vector<LogColumn> all() {
    std::vector<LogColumn> columns;
    columns.reserve(header_.cells.size());
    for (int i = 0; i < static_cast<int>(header_.cells.size()); ++i)
      columns.push_back(one(i));
    leave_out_summaries(columns);
    forgive_left_out(columns);
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

  [[nodiscard]] const ColumnHabit& habit(int i) const { return habits_[static_cast<std::size_t>(i)]; }
  [[nodiscard]] bool is_time(int i) const { return i == time_.time || i == time_.date; }

  /// Whether a column beside a unit column may be what the units are of.
  [[nodiscard]] bool may_take_units(int i) const {
    const bool is_column = i >= 0 && i < static_cast<int>(header_.cells.size());
    return is_column && !is_time(i) && unit_column_of(i) < 0 && habit(i).units == 0 && look(i).texts == 0 &&
           look(i).filled() > 0;
  }

  [[nodiscard]] int unit_column_of(int i) const {
    for (const auto& [unit_column, value_column] : unit_columns_)
      if (value_column == i) return unit_column;
    return -1;
  }

  /// A column of units says those of the column before it, else of the one behind it.
  void give_unit_columns() {
    for (int i = 0; i < static_cast<int>(header_.cells.size()); ++i) {
      if (is_time(i) || habit(i).units * 2 <= habit(i).filled || look(i).numbers > 0) continue;
      if (may_take_units(i - 1))
        unit_columns_[i] = i - 1;
      else if (may_take_units(i + 1))
        unit_columns_[i] = i + 1;
    }
  }

  LogColumn one(int i) {
    LogColumn column;
    column.name = name(i).name;
    column.position = i + 1;
    column.unit_position = unit_column_of(i) + 1;
    column.place = header_.cells[static_cast<std::size_t>(i)].place;
    if (is_time(i) && (i == pressure_ || std::find(probes_.begin(), probes_.end(), i) != probes_.end()))
      complain(column, "holds the times, but is named for readings too",
               "name another column for the times with --time-column, or for the readings");
    else if (is_time(i))
      set_time(column, i);
    else if (unit_columns_.contains(i))
      column.kind = {ColumnKind::unit, How::found,
                     "holds units, first \"" + shown(look(i).first) + "\", of the column \"" +
                         shown(name(unit_columns_.at(i)).name) + '"'};
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

  /// A column that is not read needs no unit.
  void forgive_left_out(const std::vector<LogColumn>& columns) {
    std::erase_if(complaints_, [&](const Complaint& complaint) {
      return std::any_of(columns.begin(), columns.end(), [&](const LogColumn& column) {
        return column.kind.value == ColumnKind::ignored && column.place.column == complaint.place.column &&
               column.name == complaint.place.key_path;
      });
    });
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
    if (is_unnamed(i) && habit(i).counts && habit(i).filled > 2 && !name(i).unit)
      return ignore(column, How::found, "has no name, and counts the rows: " + look(i).first + ", ...");
    if (!name(i).unit_text.empty() && !(name(i).unit && is_temperature(name(i).unit->unit)))
      return ignore(column, How::found, "the unit \"" + shown(name(i).unit_text) + "\" is no temperature");
    if (look(i).filled() == 0 && !name(i).unit)
      return ignore(column, How::found, "the first rows are empty here, and the header has no unit");
    if (look(i).filled() > 0 && look(i).numbers * 2 <= look(i).filled() && !name(i).unit)
      return ignore(column, How::found, "holds no numbers: \"" + shown(look(i).first) + '"');
    column.kind = {ColumnKind::temperature, How::found, temperature_evidence(i)};
    set_temperature_unit(column, i);
  }

  [[nodiscard]] bool is_unnamed(int i) const { return name(i).name == "column " + std::to_string(i + 1); }

  [[nodiscard]] std::string temperature_evidence(int i) const {
    if (name(i).unit) return "the header's unit is \"" + shown(name(i).unit_text) + '"';
    return std::to_string(look(i).numbers) + " of " + std::to_string(look(i).filled() + look(i).missing) +
           " first rows are numbers";
  }

  /// Whether every number of the first rows says its unit.
  [[nodiscard]] bool cells_say_unit(int i) const {
    return look(i).cell_unit && look(i).with_unit == look(i).numbers;
  }

  void set_temperature_unit(LogColumn& column, int i) {
    const int units = unit_column_of(i);
    if (name(i).unit && is_temperature(name(i).unit->unit)) {
      column.unit = {name(i).unit->unit, How::found, "the header says \"" + shown(name(i).unit_text) + '"'};
      check_against_header(column, i);
    } else if (units >= 0 && is_temperature(habit(units).first_unit.unit)) {
      column.unit = {habit(units).first_unit.unit, How::found,
                     "each row says it in \"" + shown(name(units).name) + "\", first \"" +
                         shown(look(units).first) + '"'};
      column.unit_with_each_value = true;
    } else if (cells_say_unit(i)) {
      column.unit = {*look(i).cell_unit, How::found,
                     std::string(look(i).units_differ ? "each cell says its own" : "cells say it") +
                         ", first \"" + shown(look(i).first_with_unit) + '"'};
      column.unit_with_each_value = true;
    } else if (options_.temperature_unit) {
      column.unit = {*options_.temperature_unit, How::given, "--unit"};
    } else if (header_.preamble.temperature_units_differ) {
      complain(column,
               fmt::format("lines before the header name two units ({}; {})",
                           header_.preamble.temperature_unit_text, header_.preamble.other_unit_text),
               "say --unit C or --unit F");
    } else if (header_.preamble.temperature_unit) {
      column.unit = {*header_.preamble.temperature_unit, How::found, header_.preamble.temperature_unit_text};
    } else {
      complain(column, "has no temperature unit",
               "write it in the header, for example \"" + column.name +
                   " (C)\", or say --unit C or --unit F");
    }
  }

  /// A header that all first cells contradict would leave a log without readings.
  void check_against_header(const LogColumn& column, int i) {
    if (!cells_say_unit(i) || look(i).units_differ || *look(i).cell_unit == column.unit.value) return;
    complain(column,
             column.unit.evidence + ", but its cells say another unit: \"" + shown(look(i).first) + '"',
             "mend the unit in the header, or leave it out there");
  }

  [[nodiscard]] bool is_pressure_by_header(int i) const {
    return (name(i).unit && is_pressure(name(i).unit->unit)) ||
           has_any_word(folded(name(i).name), {"pressure", "presion"});
  }

  [[nodiscard]] ColumnUnit pressure_unit(int i, How& how) const {
    how = How::found;
    if (name(i).unit && is_pressure(name(i).unit->unit)) return name(i).unit->unit;
    const int units = unit_column_of(i);
    if (units >= 0 && is_pressure(habit(units).first_unit.unit)) return habit(units).first_unit.unit;
    how = How::given;
    return options_.pressure_unit.value_or(ColumnUnit::none);
  }

  [[nodiscard]] PressureBasis pressure_basis(int i) const {
    if (name(i).unit && is_pressure(name(i).unit->unit) && name(i).unit->basis != PressureBasis::unstated)
      return name(i).unit->basis;
    const int units = unit_column_of(i);
    const PressureBasis beside = units >= 0 ? habit(units).first_unit.basis : PressureBasis::none;
    if (beside == PressureBasis::gauge || beside == PressureBasis::absolute) return beside;
    const std::string key = folded(name(i).name);
    if (has_any_word(key, {"gauge", "manometrica", "relativa"})) return PressureBasis::gauge;
    if (has_any_word(key, {"absolute", "abs", "absoluta"})) return PressureBasis::absolute;
    return options_.pressure_basis;
  }

  /// Whether unit and basis are both known; sets them where they are.
  bool fill_pressure(LogColumn& column, int i) const {
    How how{};
    const ColumnUnit unit = pressure_unit(i, how);
    const PressureBasis basis = pressure_basis(i);
    if (unit == ColumnUnit::none || basis == PressureBasis::none || basis == PressureBasis::unstated)
      return false;
    const bool in_header = name(i).unit && is_pressure(name(i).unit->unit);
    column.unit_with_each_value = how == How::found && !in_header;
    column.unit = {unit, how,
                   how == How::given ? "--pressure-unit"
                   : in_header       ? "the header says \"" + shown(name(i).unit_text) + '"'
                                     : "each row says it"};
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
  std::span<const ColumnHabit> habits_;
  std::map<int, int> unit_columns_; ///< to the column whose units they hold
  const TimeFound& time_;
  const LogOptions& options_;
  std::vector<int> probes_;
  int pressure_ = -1;
  std::vector<Complaint> complaints_;
};

void check_has_temperature(const Source& source, const Header& header,
                           const std::vector<LogColumn>& columns) {
  std::string names; // and why each is not read; the report's words know this form of a list
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

bool is_digits(std::string_view cell, std::size_t most) {
  return !cell.empty() && cell.size() <= most &&
         std::all_of(cell.begin(), cell.end(), [](char c) { return c >= '0' && c <= '9'; });
}

/// Whether every second number behind the times may be the digits behind a decimal comma: as many in each
/// row.
bool may_be_decimal_commas(std::span<const SampleLine> rows, std::size_t first_number) {
  std::vector<std::size_t> digits;
  for (const SampleLine& row : rows) {
    const auto cells = cells_of(row.text, ',');
    if (trimmed(row.text).empty()) continue;
    if (cells.size() < first_number + 2 || (cells.size() - first_number) % 2 != 0) return false;
    if (digits.empty()) digits.resize(cells.size());
    if (digits.size() != cells.size()) return false;
    for (std::size_t i = first_number; i < cells.size(); ++i) {
      const bool behind_comma = (i - first_number) % 2 == 1;
      const bool has_sign = !behind_comma && (cells[i].starts_with('-') || cells[i].starts_with('+'));
      if (!is_digits(std::string_view(cells[i]).substr(has_sign ? 1 : 0), 3)) return false;
      if (behind_comma && digits[i] != 0 && digits[i] != cells[i].size()) return false;
      digits[i] = cells[i].size();
    }
  }
  return !digits.empty();
}

/// Without a header nothing says whether "20,1" is two readings or one. A decimal comma that is given parts
/// no cells, header or not.
void check_commas_do_one_job(const Source& source, const Understanding& log, const Header& header,
                             std::span<const SampleLine> rows, const TimeFound& time) {
  if (log.delimiter.value != ',') return;
  const bool decimal_given = log.decimal_mark.how == How::given && log.decimal_mark.value == ',';
  const bool settled =
      header.header_line > 0 || log.delimiter.how == How::given || log.decimal_mark.how != How::assumed;
  if (settled && !decimal_given) return;
  const auto first_number = static_cast<std::size_t>(std::max(time.time, time.date)) + 1;
  if (!may_be_decimal_commas(rows, first_number)) return;
  const auto cells = cells_of(rows.front().text, ',');
  const Place place{source.name(), rows.front().number, 0, ""};
  const std::string pair = '"' + shown(cells[first_number] + ',' + cells[first_number + 1]) + '"';
  if (decimal_given)
    refuse(place, "--decimal comma was given, but the comma of " + pair + " parts cells",
           "put semicolons between the cells, or numbers in quotes");
  refuse(place, pair + " may be two readings, or one with a decimal comma",
         "say --delimiter comma where it is two; else put semicolons between the cells, or add a header");
}

/// Half dates and half clocks in one column would be taken for both columns at once.
void check_time_is_one_thing(const Header& header, std::span<const ColumnLooks> looks,
                             const TimeFound& time) {
  if (time.date != time.time) return;
  const auto at = static_cast<std::size_t>(time.time);
  Place place = header.cells[at].place;
  place.key_path = header.cells[at].name.name;
  refuse(place, "holds dates in some cells and clocks in others, first \"" + shown(looks[at].first) + '"',
         "write date and clock in one cell, or in a column each");
}

} // namespace

Understanding understand(const Source& source, const LogOptions& options) {
  const std::string bytes = bytes_at_front(source, sample_bytes);
  check_is_text(source, bytes);
  const Choice<TextEncoding> encoding =
      find_encoding(source.name(), bytes, bytes.size() == sample_bytes, options);
  const std::vector<SampleLine> lines = sample_lines(source, first_text(source, bytes, encoding.value));
  const std::span<const SampleLine> looked_at(lines.data(), std::min(lines.size(), rows_looked_at));

  Understanding understanding;
  understanding.encoding = {encoding_name(encoding.value, bytes), encoding.how, encoding.evidence};
  understanding.text_encoding = encoding.value;
  understanding.delimiter = find_delimiter(source.name(), looked_at, options);
  const char delimiter = understanding.delimiter.value;
  const Header header = find_header(source.name(), looked_at, delimiter);
  const auto rows = rows_without_names(looked_at.subspan(header.first_row), delimiter);
  understanding.decimal_mark = find_decimal_mark(source.name(), rows, delimiter, options);
  const auto looks = look_at_columns(rows, delimiter, understanding.decimal_mark.value, header.cells.size());
  understanding.preamble_lines = header.preamble_lines;
  understanding.header_line = header.header_line;
  understanding.header_rows = header.lines;
  understanding.first_data_line = rows.front().number;
  const auto habits = habits_of(rows, delimiter, header.cells.size());
  TimeFound time = find_time(source.name(), header, looks, options);
  check_time_is_one_thing(header, looks, time);
  check_commas_do_one_job(source, understanding, header, rows, time);
  const Source text = in_utf8(source, encoding.value);
  TimePlace where{time.time, time.date, header.cells[static_cast<std::size_t>(time.time)].place};
  where.column.key_path = header.cells[static_cast<std::size_t>(time.time)].name.name;
  settle_time(text, understanding, where,
              looked_at.first(header.header_line > 0 ? static_cast<std::size_t>(header.preamble_lines)
                                                     : header.first_row),
              options, time);
  understanding.time = time.rule;
  if (!header.preamble.by_hand_text.empty())
    understanding.by_hand = {true, How::found, header.preamble.by_hand_text};
  understanding.columns = ColumnChoice(source, header, looks, habits, time, options).all();
  find_long_layout(text, understanding);
  check_has_temperature(source, header, understanding.columns);
  return understanding;
}

} // namespace coldbag
