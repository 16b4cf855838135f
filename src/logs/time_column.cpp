#include "logs/time_column.h"

#include "clock/calendar_words.h"
#include "errors/user_error.h"
#include "logs/encoding.h"

#include <fmt/format.h>

#include <algorithm>
#include <numeric>

namespace coldbag {

namespace {

// Seconds, milliseconds and days since their beginnings for the years 2000 to 2099: no elapsed time of a run
// comes near the first two.
constexpr double epoch_2000_s = 946'684'800;
constexpr double epoch_2100_s = 4'102'444'800;
constexpr double serial_2000 = 36'526;
constexpr double serial_2100 = 73'051;

[[noreturn]] void refuse(Place place, std::string problem, std::string remedy) {
  throw UserError({Trouble::bad_data, std::move(place), std::move(problem), std::move(remedy)});
}

void count_unit(ColumnLooks& looks, std::string_view cell, char decimal_mark) {
  std::string_view rest;
  (void)read_number(cell, decimal_mark, rest);
  const auto unit = find_temperature_unit(rest);
  if (!looks.cell_unit) {
    looks.cell_unit = unit;
    looks.first_with_unit = std::string(cell);
  }
  if (looks.cell_unit != unit) looks.units_differ = true;
  ++looks.with_unit;
}

void count_form(ColumnLooks& looks, std::string_view cell) {
  const auto written = read_written_time(cell);
  if (!parse_iso_time(cell) && !parse_iso_clock_us(cell)) looks.is_iso = false;
  if (!written) return;
  looks.order_open = looks.order_open || (written->date && !written->date->order);
  looks.twelve_hours = looks.twelve_hours || written->twelve_hours;
}

bool is_dotted_clock(std::string_view cell) {
  return cell.find(':') == std::string_view::npos && cell.find('.') != std::string_view::npos &&
         read_written_clock(cell).has_value();
}

void count_number(ColumnLooks& looks, std::string_view cell, char decimal_mark) {
  std::string_view rest;
  const double number = read_number(cell, decimal_mark, rest).value_or(0);
  looks.least = looks.numbers == 0 ? number : std::min(looks.least, number);
  looks.most = looks.numbers == 0 ? number : std::max(looks.most, number);
}

void count_look(ColumnLooks& looks, std::string_view cell, int line, char decimal_mark) {
  const CellLook look = look_at(cell, decimal_mark);
  if (look == CellLook::moment || look == CellLook::date || look == CellLook::clock) count_form(looks, cell);
  if (look == CellLook::number) count_number(looks, cell, decimal_mark);
  if (is_dotted_clock(cell)) ++looks.dotted_clocks;
  switch (look) {
  case CellLook::empty:
  case CellLook::missing:
    ++looks.missing;
    return;
  case CellLook::number:
    ++looks.numbers;
    break;
  case CellLook::number_with_unit:
    ++looks.numbers;
    count_unit(looks, cell, decimal_mark);
    break;
  case CellLook::moment:
    ++looks.moments;
    break;
  case CellLook::date:
    ++looks.dates;
    break;
  case CellLook::clock:
    ++looks.clocks;
    break;
  case CellLook::other_date:
    ++looks.other_dates;
    break;
  case CellLook::text:
    ++looks.texts;
    break;
  }
  if (looks.first_line == 0) {
    looks.first = std::string(cell);
    looks.first_line = line;
  }
}

bool mostly(std::size_t count, const ColumnLooks& looks) {
  return count > 0 && count * 2 >= looks.filled();
}

/// Everything the choice of the time columns needs.
struct Question {
  const std::string& source_name;
  const Header& header;
  std::span<const ColumnLooks> looks;
  const LogOptions& options;

  [[nodiscard]] const std::string& name(int column) const {
    return header.cells[static_cast<std::size_t>(column)].name.name;
  }
  [[nodiscard]] const ColumnLooks& look(int column) const { return looks[static_cast<std::size_t>(column)]; }
  [[nodiscard]] Place place(int column) const {
    Place place = header.cells[static_cast<std::size_t>(column)].place;
    place.key_path = name(column);
    return place;
  }
  [[nodiscard]] Place first_place(int column) const {
    return {source_name, look(column).first_line, 0, name(column)};
  }
};

template <class Test>
std::vector<int> columns_where(const Question& ask, Test test) {
  std::vector<int> columns;
  for (int i = 0; i < static_cast<int>(ask.looks.size()); ++i)
    if (test(ask.look(i))) columns.push_back(i);
  return columns;
}

std::string names_of(const Question& ask, const std::vector<int>& columns) {
  std::string text;
  for (const int column : columns)
    text += (text.empty() ? "\"" : ", \"") + ask.name(column) + '"';
  return text;
}

bool all_dotted_clocks(const ColumnLooks& looks) {
  return looks.dotted_clocks > 0 && looks.dotted_clocks == looks.filled();
}

[[noreturn]] void refuse_date_form(const Question& ask, int column) {
  const std::string& first = ask.look(column).first;
  if (all_dotted_clocks(ask.look(column)))
    refuse(
        ask.first_place(column), "\"" + shown(first) + "\" may be a clock or a date",
        "write clocks with colons, for example 18:30:00, or name the columns of both with --date-column and "
        "--time-column");
  const std::string unknown_month = unknown_month_in(first);
  refuse(ask.first_place(column),
         unknown_month.empty()
             ? fmt::format("\"{}\" is no time this program can read", shown(first))
             : fmt::format("\"{}\" is no time this program can read: \"{}\" is not known as a "
                           "month",
                           shown(first), shown(unknown_month)),
         "write for example 2026-03-08 14:05:00; months by name are read in " +
             std::string(calendar_languages) + ", and a zone as Z or +02:00");
}

/// "Z", "+02:00" at the end of a time, or nothing.
std::optional<std::string> written_offset_in(std::string_view text) {
  const auto written = read_written_time(text);
  if (!written || !written->offset_s) return std::nullopt;
  if (text.back() == 'Z' || text.back() == 'z') return "Z";
  return Zone::fixed(*written->offset_s).name();
}

Choice<std::string> zone_of_wall_times(const Question& ask) {
  if (ask.options.zone) {
    const std::string& by = ask.options.zone_given_by;
    return {ask.options.zone->name(), How::given, by.empty() ? "--zone" : by};
  }
  if (ask.header.preamble.zone)
    return {ask.header.preamble.zone->name(), How::found, ask.header.preamble.zone_text};
  return {"", How::assumed,
          "times say no zone and none was given with --zone; wall time is taken as it stands"};
}

void set_zone(const Question& ask, TimeFound& found, std::string_view example) {
  found.rule.written_offset = written_offset_in(example);
  if (found.rule.written_offset)
    found.rule.zone = {"", How::found, "times carry their own zone: " + shown(example)};
  else
    found.rule.zone = zone_of_wall_times(ask);
}

std::string of_rows(std::size_t count, const ColumnLooks& looks) {
  return fmt::format("{} of {} first rows", count, looks.filled() + looks.missing);
}

TimeFound moments_in(const Question& ask, int column, How how) {
  TimeFound found;
  found.time = column;
  found.how = how;
  const ColumnLooks& looks = ask.look(column);
  found.evidence = how == How::given ? "--time-column"
                                     : of_rows(looks.moments, looks) +
                                           (looks.is_iso ? " are ISO 8601 times" : " are times") +
                                           ", first " + shown(looks.first);
  found.rule.form = {looks.is_iso ? TimeRule::Form::iso : TimeRule::Form::written, How::found,
                     "first time is " + shown(looks.first)};
  found.order_open = looks.order_open;
  set_zone(ask, found, looks.first);
  return found;
}

TimeFound date_and_clock_in(const Question& ask, int date, int clock, How how) {
  TimeFound found;
  found.time = clock;
  found.date = date;
  found.how = how;
  const std::string example = ask.look(date).first + "T" + ask.look(clock).first;
  found.evidence = "dates in \"" + ask.name(date) + "\", clock in \"" + ask.name(clock) + "\"";
  const bool is_iso = ask.look(date).is_iso && ask.look(clock).is_iso && ask.look(clock).dotted_clocks == 0;
  found.rule.form = {is_iso ? TimeRule::Form::iso : TimeRule::Form::written, How::found,
                     "first row is " + shown(example)};
  found.order_open = ask.look(date).order_open;
  set_zone(ask, found, is_iso ? example : ask.look(clock).first);
  return found;
}

bool is_elapsed_name(const std::string& name) {
  const std::string lower = lower_case(name);
  return lower.find("elapsed") != std::string::npos || lower.find("duration") != std::string::npos ||
         lower.find("since start") != std::string::npos || lower.find("run time") != std::string::npos;
}

/// Counts that no elapsed time can be, or that are said to be none.
std::optional<TimeFound> counted_in(const Question& ask, int column, How how) {
  using Form = TimeRule::Form;
  const ColumnLooks& looks = ask.look(column);
  if (!mostly(looks.numbers, looks)) return std::nullopt;
  const auto within = [&](double from, double to) { return looks.least >= from && looks.most < to; };
  const HeaderName& name = ask.header.cells[static_cast<std::size_t>(column)].name;
  const bool has_unit = (name.unit && is_duration(name.unit->unit)) || ask.options.elapsed_unit;
  std::optional<Form> form;
  ColumnUnit unit = ColumnUnit::none;
  std::string evidence;
  if (ask.options.time_form) {
    form = ask.options.time_form;
    unit = ask.options.epoch_unit.value_or(ColumnUnit::none);
    evidence = "--time-form";
  } else if (within(epoch_2000_s, epoch_2100_s)) {
    form = Form::epoch;
    unit = ColumnUnit::seconds;
    evidence = fmt::format("numbers from {} on are seconds since 1970", shown(looks.first));
  } else if (within(epoch_2000_s * 1e3, epoch_2100_s * 1e3)) {
    form = Form::epoch;
    unit = ColumnUnit::milliseconds;
    evidence = fmt::format("numbers from {} on are milliseconds since 1970", shown(looks.first));
  } else if (!has_unit && !is_elapsed_name(name.name) && within(serial_2000, serial_2100) &&
             looks.most - looks.least < static_cast<double>(looks.numbers)) {
    form = Form::serial_1900;
    evidence =
        fmt::format("numbers from {} on are days of a spreadsheet that counts from 1900", shown(looks.first));
  }
  if (form != Form::epoch && form != Form::serial_1900 && form != Form::serial_1904) return std::nullopt;
  TimeFound found;
  found.time = column;
  found.how = how;
  found.evidence = how == How::given ? "--time-column" : evidence;
  found.rule.form = {*form, ask.options.time_form ? How::given : How::found, evidence};
  found.unit = {unit, found.rule.form.how, evidence};
  found.rule.zone = zone_of_wall_times(ask);
  if (*form == Form::epoch && found.rule.zone.value.empty())
    found.rule.zone.evidence = "seconds since 1970 are told in UTC; --zone tells them as a clock shows them";
  return found;
}

/// Times of day without a date.
TimeFound clock_in(const Question& ask, int column, How how) {
  TimeFound found;
  found.time = column;
  found.how = how;
  found.evidence = how == How::given ? "--time-column"
                                     : of_rows(ask.look(column).clocks, ask.look(column)) +
                                           " are times of day, first " + shown(ask.look(column).first);
  found.rule.form = {TimeRule::Form::clock, How::assumed, ""};
  found.twelve_hours = ask.look(column).twelve_hours;
  set_zone(ask, found, ask.look(column).first);
  return found;
}

std::optional<Choice<ColumnUnit>> elapsed_unit(const Question& ask, int column) {
  const HeaderName& name = ask.header.cells[static_cast<std::size_t>(column)].name;
  if (name.unit && is_duration(name.unit->unit))
    return Choice<ColumnUnit>{name.unit->unit, How::found, "the header says \"" + name.unit_text + '"'};
  if (ask.options.elapsed_unit)
    return Choice<ColumnUnit>{*ask.options.elapsed_unit, How::given, "--elapsed-unit"};
  // "Min (C)" is a lowest reading, not a count of minutes.
  if (const auto unit = name.unit ? std::nullopt : find_time_unit(name.name))
    return Choice<ColumnUnit>{*unit, How::found, "the column is called \"" + name.name + '"'};
  return std::nullopt;
}

bool has_three_parts(std::string_view clock) {
  return std::count(clock.begin(), clock.end(), ':') == 2;
}

TimeFound elapsed_in(const Question& ask, int column, How how) {
  TimeFound found;
  found.time = column;
  found.how = how;
  const ColumnLooks& looks = ask.look(column);
  found.evidence = how == How::given ? "--time-column" : "the column is called \"" + ask.name(column) + '"';
  const auto unit = elapsed_unit(ask, column);
  const bool colons = looks.clocks > looks.numbers;
  const bool is_elapsed =
      is_elapsed_name(ask.name(column)) || ask.options.time_form == TimeRule::Form::elapsed;
  if (!unit && !(colons && is_elapsed && has_three_parts(looks.first))) {
    if (colons)
      refuse(ask.first_place(column), "\"" + shown(looks.first) + "\" has two parts, h:mm or m:ss",
             "say --elapsed-unit h (h:mm) or min (m:ss), or --time-form clock where it is a time of day");
    refuse(
        ask.place(column), "elapsed time has no unit",
        "write it in the header, for example \"elapsed (min)\", or say --elapsed-unit s, min or h (days: d)" +
            std::string(all_dotted_clocks(looks) ? "; a clock is written with a colon, for example 18:30"
                                                 : ""));
  }
  found.unit =
      unit.value_or(Choice<ColumnUnit>{ColumnUnit::none, How::found, "written h:mm:ss: " + looks.first});
  found.rule.form = {TimeRule::Form::elapsed, unit && unit->how == How::given ? How::given : How::found,
                     "first time is " + shown(looks.first) + ", " + found.unit.evidence};
  found.rule.zone = {"", How::assumed, "elapsed times need no zone"};
  return found;
}

/// A clock that nothing says to be elapsed time.
bool is_clock_alone(const Question& ask, int column) {
  const ColumnLooks& looks = ask.look(column);
  if (!mostly(looks.clocks, looks)) return false;
  if (ask.options.time_form) return *ask.options.time_form == TimeRule::Form::clock;
  return looks.twelve_hours || (!elapsed_unit(ask, column) && !is_elapsed_name(ask.name(column)));
}

TimeFound time_in_given(const Question& ask) {
  const int column = column_named(ask.source_name, ask.header, *ask.options.time_column, "--time-column");
  const ColumnLooks& looks = ask.look(column);
  if (ask.options.date_column) {
    const int date = column_named(ask.source_name, ask.header, *ask.options.date_column, "--date-column");
    if (date == column)
      refuse(ask.place(column), "is named both for the date and for the clock",
             "name one column with --time-column alone where it holds both");
    return date_and_clock_in(ask, date, column, How::given);
  }
  if (mostly(looks.moments, looks)) return moments_in(ask, column, How::given);
  if (mostly(looks.other_dates, looks)) refuse_date_form(ask, column);
  if (mostly(looks.clocks, looks) && !elapsed_unit(ask, column) && !is_elapsed_name(ask.name(column))) {
    const auto dates = columns_where(ask, [](const ColumnLooks& look) { return mostly(look.dates, look); });
    if (dates.size() == 1) return date_and_clock_in(ask, dates[0], column, How::given);
  }
  if (auto counted = counted_in(ask, column, How::given)) return *counted;
  if (is_clock_alone(ask, column)) return clock_in(ask, column, How::given);
  if (mostly(looks.numbers, looks) || mostly(looks.clocks, looks)) return elapsed_in(ask, column, How::given);
  refuse(ask.place(column), "holds no times: \"" + shown(looks.first) + '"',
         "name the column of times with --time-column, for example --time-column 1");
}

/// "18.30.00" beside the only column of dates; "18.30" only in a column named for time, for it may be a
/// number.
std::optional<TimeFound> dotted_clock_found(const Question& ask) {
  const auto dates = columns_where(ask, [](const ColumnLooks& look) { return mostly(look.dates, look); });
  const auto clocks = columns_where(ask, all_dotted_clocks);
  std::vector<int> left;
  for (const int column : clocks)
    if (!mostly(ask.look(column).dates, ask.look(column)) &&
        (ask.look(column).numbers == 0 || names_a_time(ask.name(column))))
      left.push_back(column);
  if (dates.size() != 1 || left.size() != 1) return std::nullopt;
  return date_and_clock_in(ask, dates[0], left[0], How::found);
}

/// The only column of clocks, whatever its name.
std::optional<int> lone_clock(const Question& ask) {
  const auto clocks = columns_where(ask, [](const ColumnLooks& look) { return mostly(look.clocks, look); });
  if (clocks.size() != 1 || !is_clock_alone(ask, clocks[0])) return std::nullopt;
  return clocks[0];
}

/// Elapsed times: a column named so, or one named for time that holds numbers or "h:mm:ss".
std::optional<TimeFound> elapsed_found(const Question& ask) {
  std::vector<int> columns;
  for (int i = 0; i < static_cast<int>(ask.looks.size()); ++i) {
    const ColumnLooks& look = ask.look(i);
    const HeaderName& name = ask.header.cells[static_cast<std::size_t>(i)].name;
    // "D (C)" is the fourth probe, not a column of days.
    const bool is_reading = name.unit && !is_duration(name.unit->unit);
    const bool named = !is_reading && (names_a_time(name.name) || find_time_unit(name.name) ||
                                       is_elapsed_name(name.name) || name.unit);
    if (named && (mostly(look.numbers, look) || mostly(look.clocks, look))) columns.push_back(i);
  }
  if (columns.size() > 1)
    refuse(ask.place(columns[0]), "times may be in " + names_of(ask, columns),
           "name the one to use, for example --time-column \"" + ask.name(columns[0]) + '"');
  if (!columns.empty()) {
    if (auto counted = counted_in(ask, columns[0], How::found)) return counted;
    if (is_clock_alone(ask, columns[0])) return clock_in(ask, columns[0], How::found);
    return elapsed_in(ask, columns[0], How::found);
  }
  if (const auto clock = lone_clock(ask)) return clock_in(ask, *clock, How::found);
  if (ask.header.header_line == 0 && (ask.options.elapsed_unit || ask.options.time_form) &&
      !ask.looks.empty() && mostly(ask.look(0).numbers + ask.look(0).clocks, ask.look(0))) {
    auto counted = counted_in(ask, 0, How::assumed);
    TimeFound found = counted ? *counted : elapsed_in(ask, 0, How::assumed);
    found.evidence = std::string("no header; ") + (ask.options.time_form ? "--time-form" : "--elapsed-unit") +
                     " is given and the first column is taken";
    return found;
  }
  return std::nullopt;
}

[[noreturn]] void refuse_no_time(const Question& ask) {
  const int line = ask.header.header_line;
  std::vector<int> all(ask.looks.size());
  std::iota(all.begin(), all.end(), 0);
  refuse(Place{ask.source_name, line, 0, ""},
         line == 0 ? "no column holds dates and times, and there is no header to name one"
                   : "no column holds times: the header has " + names_of(ask, all),
         "name it, for example --time-column 1; for time since the start also --elapsed-unit s, min or h");
}

} // namespace

std::vector<ColumnLooks> look_at_columns(std::span<const SampleLine> rows, char delimiter, char decimal_mark,
                                         std::size_t columns) {
  std::vector<ColumnLooks> looks(columns);
  for (const SampleLine& row : rows) {
    if (trimmed(row.text).empty()) continue;
    const auto cells = cells_of(row.text, delimiter);
    for (std::size_t i = 0; i < std::min(columns, cells.size()); ++i)
      count_look(looks[i], cells[i], row.number, decimal_mark);
  }
  return looks;
}

int column_named(const std::string& source_name, const Header& header, const std::string& name,
                 const std::string& option) {
  std::vector<int> matches;
  const std::string wanted = lower_case(trimmed(name));
  for (std::size_t i = 0; i < header.cells.size(); ++i)
    if (lower_case(header.cells[i].name.name) == wanted) matches.push_back(static_cast<int>(i));
  if (matches.size() > 1)
    refuse(Place{source_name, header.header_line, 0, ""},
           std::to_string(matches.size()) + " columns are called \"" + name + "\" (" + option + ")",
           "name it by its number, for example " + std::to_string(matches[0] + 1));
  if (matches.size() == 1) return matches[0];
  for (std::size_t i = 0; i < header.cells.size(); ++i)
    if (std::to_string(i + 1) == wanted) return static_cast<int>(i);
  std::string names;
  for (const HeaderCell& cell : header.cells)
    names += (names.empty() ? "\"" : ", \"") + cell.name.name + '"';
  refuse(Place{source_name, header.header_line, 0, ""},
         "no column is called \"" + name + "\" (" + option + ")", "columns here are " + names);
}

TimeFound find_time(const std::string& source_name, const Header& header, std::span<const ColumnLooks> looks,
                    const LogOptions& options) {
  const Question ask{source_name, header, looks, options};
  if (options.time_column) return time_in_given(ask);
  const auto moments = columns_where(ask, [](const ColumnLooks& look) { return mostly(look.moments, look); });
  if (moments.size() > 1)
    refuse(ask.place(moments[0]), "times may be in " + names_of(ask, moments),
           "name the one to use, for example --time-column \"" + ask.name(moments[0]) + '"');
  if (moments.size() == 1) return moments_in(ask, moments[0], How::found);
  if (auto dotted = dotted_clock_found(ask)) return *dotted;
  const auto others =
      columns_where(ask, [](const ColumnLooks& look) { return mostly(look.other_dates, look); });
  if (!others.empty()) refuse_date_form(ask, others[0]);
  const auto dates = columns_where(ask, [](const ColumnLooks& look) { return mostly(look.dates, look); });
  const auto clocks = columns_where(ask, [](const ColumnLooks& look) { return mostly(look.clocks, look); });
  if (dates.size() == 1 && clocks.size() == 1) return date_and_clock_in(ask, dates[0], clocks[0], How::found);
  if (auto elapsed = elapsed_found(ask)) return *elapsed;
  refuse_no_time(ask);
}

} // namespace coldbag
