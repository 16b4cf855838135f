#include "logs/time_column.h"

#include "errors/user_error.h"
#include "logs/encoding.h"

#include <algorithm>
#include <array>
#include <cstring>

namespace coldbag {

namespace {

constexpr std::int64_t us_of_second = 1'000'000;
constexpr std::int64_t us_of_quarter_hour = 900 * us_of_second;

[[noreturn]] void refuse(Place place, std::string problem, std::string remedy) {
  throw UserError({Trouble::bad_data, std::move(place), std::move(problem), std::move(remedy)});
}

void count_unit(ColumnLooks& looks, std::string_view cell, char decimal_mark) {
  std::string_view rest;
  (void)read_number(cell, decimal_mark, rest);
  const auto unit = find_temperature_unit(rest);
  if (looks.cell_unit && looks.cell_unit != unit) looks.units_differ = true;
  looks.cell_unit = unit;
  ++looks.with_unit;
}

void count_look(ColumnLooks& looks, std::string_view cell, int line, char decimal_mark) {
  switch (look_at(cell, decimal_mark)) {
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

[[noreturn]] void refuse_date_form(const Question& ask, int column) {
  refuse(ask.first_place(column), "the time form \"" + shown(ask.look(column).first) + "\" is not yet read",
         "write ISO dates and a 24-hour clock, for example 2026-03-08 14:05:00");
}

/// "Z", "+02:00" at the end of a time, or nothing.
std::optional<std::string> written_offset_in(std::string_view text) {
  const auto iso = parse_iso_time(text);
  if (!iso || !iso->offset_s) return std::nullopt;
  if (text.back() == 'Z' || text.back() == 'z') return "Z";
  const std::size_t sign = text.find_last_of("+-");
  return sign == std::string_view::npos ? std::nullopt : std::optional(std::string(text.substr(sign)));
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
  return std::to_string(count) + " of " + std::to_string(looks.filled() + looks.missing) + " first rows";
}

TimeFound moments_in(const Question& ask, int column, How how) {
  TimeFound found;
  found.time = column;
  found.how = how;
  const ColumnLooks& looks = ask.look(column);
  found.evidence = how == How::given
                       ? "--time-column"
                       : of_rows(looks.moments, looks) + " are ISO 8601 times, first " + shown(looks.first);
  found.rule.form = {TimeRule::Form::iso, How::found, "first time is " + shown(looks.first)};
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
  found.rule.form = {TimeRule::Form::iso, How::found, "first row is " + shown(example)};
  set_zone(ask, found, example);
  return found;
}

std::optional<Choice<ColumnUnit>> elapsed_unit(const Question& ask, int column) {
  const HeaderName& name = ask.header.cells[static_cast<std::size_t>(column)].name;
  if (name.unit && is_duration(name.unit->unit))
    return Choice<ColumnUnit>{name.unit->unit, How::found, "the header says \"" + name.unit_text + '"'};
  if (ask.options.elapsed_unit)
    return Choice<ColumnUnit>{*ask.options.elapsed_unit, How::given, "--elapsed-unit"};
  if (const auto unit = find_time_unit(name.name))
    return Choice<ColumnUnit>{*unit, How::found, "the column is called \"" + name.name + '"'};
  return std::nullopt;
}

bool is_elapsed_name(const std::string& name) {
  const std::string lower = lower_case(name);
  return lower.find("elapsed") != std::string::npos || lower.find("duration") != std::string::npos ||
         lower.find("since start") != std::string::npos || lower.find("run time") != std::string::npos;
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
  if (!unit && !(colons && is_elapsed_name(ask.name(column)) && has_three_parts(looks.first)))
    refuse(colons ? ask.first_place(column) : ask.place(column),
           colons ? "\"" + shown(looks.first) + "\" has no date, and may be a clock or time since the start"
                  : "elapsed time has no unit",
           colons
               ? "add a column of ISO dates, or for time since the start say --elapsed-unit h (h:mm) or min "
                 "(m:ss)"
               : "write it in the header, for example \"elapsed (min)\", or say --elapsed-unit s, min or h");
  found.unit =
      unit.value_or(Choice<ColumnUnit>{ColumnUnit::none, How::found, "written h:mm:ss: " + looks.first});
  found.rule.form = {TimeRule::Form::elapsed, unit && unit->how == How::given ? How::given : How::found,
                     "first time is " + shown(looks.first) + ", " + found.unit.evidence};
  found.rule.zone = {"", How::assumed, "elapsed times need no zone"};
  return found;
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
  if (mostly(looks.numbers, looks) || mostly(looks.clocks, looks)) return elapsed_in(ask, column, How::given);
  refuse(ask.place(column), "holds no times: \"" + shown(looks.first) + '"',
         "name the column of times with --time-column, for example --time-column 1");
}

/// Elapsed times: a column named so, or one named for time that holds numbers or "h:mm:ss".
std::optional<TimeFound> elapsed_found(const Question& ask) {
  std::vector<int> columns;
  for (int i = 0; i < static_cast<int>(ask.looks.size()); ++i) {
    const ColumnLooks& look = ask.look(i);
    const HeaderName& name = ask.header.cells[static_cast<std::size_t>(i)].name;
    const bool named = names_a_time(name.name) || find_time_unit(name.name) || is_elapsed_name(name.name) ||
                       (name.unit && is_duration(name.unit->unit));
    if (named && (mostly(look.numbers, look) || mostly(look.clocks, look))) columns.push_back(i);
  }
  if (columns.size() > 1)
    refuse(ask.place(columns[0]), "times may be in " + names_of(ask, columns),
           "name the one to use, for example --time-column \"" + ask.name(columns[0]) + '"');
  if (!columns.empty()) return elapsed_in(ask, columns[0], How::found);
  if (ask.header.header_line == 0 && ask.options.elapsed_unit && !ask.looks.empty() &&
      mostly(ask.look(0).numbers + ask.look(0).clocks, ask.look(0))) {
    TimeFound found = elapsed_in(ask, 0, How::assumed);
    found.evidence = "no header; --elapsed-unit is given and the first column is taken";
    return found;
  }
  return std::nullopt;
}

[[noreturn]] void refuse_no_time(const Question& ask) {
  const int line = ask.header.header_line;
  refuse(
      Place{ask.source_name, line, 0, ""},
      line == 0 ? "no column holds ISO times, and there is no header to name one"
                : "no column holds times: the header has " +
                      [&] {
                        std::vector<int> all(ask.looks.size());
                        for (std::size_t i = 0; i < all.size(); ++i)
                          all[i] = static_cast<int>(i);
                        return names_of(ask, all);
                      }(),
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
  const auto others =
      columns_where(ask, [](const ColumnLooks& look) { return mostly(look.other_dates, look); });
  if (!others.empty()) refuse_date_form(ask, others[0]);
  const auto dates = columns_where(ask, [](const ColumnLooks& look) { return mostly(look.dates, look); });
  const auto clocks = columns_where(ask, [](const ColumnLooks& look) { return mostly(look.clocks, look); });
  if (dates.size() == 1 && clocks.size() == 1) return date_and_clock_in(ask, dates[0], clocks[0], How::found);
  if (auto elapsed = elapsed_found(ask)) return *elapsed;
  refuse_no_time(ask);
}

RowClock::RowClock(const Understanding& understanding)
    : form_(understanding.time.form.value), decimal_mark_(understanding.decimal_mark.value),
      written_offset_(understanding.time.written_offset.has_value()) {
  for (const LogColumn& column : understanding.columns)
    if (column.kind.value == ColumnKind::time) unit_ = column.unit.value;
  if (!written_offset_ && !understanding.time.zone.value.empty())
    zone_ = Zone::find(understanding.time.zone.value);
}

std::optional<IsoTime> RowClock::read_iso(std::string_view date, std::string_view time) const {
  std::optional<IsoTime> iso;
  if (date.data() == nullptr) {
    iso = parse_iso_time(time);
  } else {
    std::array<char, 80> joined;
    if (date.size() + time.size() + 1 > joined.size()) return std::nullopt;
    std::memcpy(joined.data(), date.data(), date.size());
    joined[date.size()] = 'T';
    std::memcpy(joined.data() + date.size() + 1, time.data(), time.size());
    iso = parse_iso_time({joined.data(), date.size() + time.size() + 1});
  }
  if (!iso || !iso->has_clock || iso->offset_s.has_value() != written_offset_) return std::nullopt;
  return iso;
}

/// Zones change on a quarter of an hour, so a quarter whose two ends have one offset has it all through.
TimeVerdict RowClock::place_in_zone(WallTime wall, std::int64_t& us) {
  const std::int64_t quarter = wall.us / us_of_quarter_hour - (wall.us % us_of_quarter_hour < 0 ? 1 : 0);
  if (quarter != quarter_) {
    const std::int64_t from = quarter * us_of_quarter_hour;
    const WallMeaning first = instants_of(*zone_, {from});
    const WallMeaning last = instants_of(*zone_, {from + us_of_quarter_hour - 1});
    quarter_ = quarter;
    quarter_offset_us_ = from - first.first.time_since_epoch().count();
    quarter_plain_ =
        first.kind == WallMeaning::Kind::one && last.kind == WallMeaning::Kind::one &&
        from + us_of_quarter_hour - 1 - last.first.time_since_epoch().count() == quarter_offset_us_;
  }
  us = wall.us - quarter_offset_us_;
  if (quarter_plain_) return TimeVerdict::good;
  const WallMeaning meaning = instants_of(*zone_, wall);
  if (meaning.kind == WallMeaning::Kind::missing) return TimeVerdict::missing_hour;
  us = meaning.first.time_since_epoch().count();
  // Of the two instants of an hour that comes twice, the one that keeps time rising.
  if (any_ && us <= last_us_) us = meaning.second.time_since_epoch().count();
  return TimeVerdict::good;
}

TimeVerdict RowClock::accept(std::int64_t us) {
  if (any_ && us == last_us_) return TimeVerdict::repeats;
  if (any_ && us < last_us_) return TimeVerdict::goes_back;
  if (!any_) first_us_ = us;
  any_ = true;
  last_us_ = us;
  return TimeVerdict::good;
}

TimeVerdict RowClock::take(std::string_view date, std::string_view time) {
  if (form_ == TimeRule::Form::elapsed) {
    const auto elapsed = read_elapsed_us(time, decimal_mark_, unit_);
    return elapsed ? accept(*elapsed) : TimeVerdict::bad_time;
  }
  const auto iso = read_iso(date, time);
  if (!iso) return TimeVerdict::bad_time;
  std::int64_t us = iso->wall.us;
  if (written_offset_) us -= *iso->offset_s * us_of_second;
  if (zone_) {
    const TimeVerdict placed = place_in_zone(iso->wall, us);
    if (placed != TimeVerdict::good) return placed;
  }
  const bool first = !any_;
  const TimeVerdict verdict = accept(us);
  if (first && verdict == TimeVerdict::good) {
    first_wall_ = iso->wall;
    if (written_offset_ || zone_) first_instant_ = Instant(std::chrono::microseconds(us));
  }
  return verdict;
}

} // namespace coldbag
