#include "logs/time_scan.h"

#include "errors/user_error.h"
#include "logs/encoding.h"
#include "logs/lines.h"
#include "logs/table_lines.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cstdlib>
#include <functional>

namespace coldbag {

namespace {

constexpr std::int64_t us_of_day = std::int64_t{86'400} * 1'000'000;
constexpr std::int64_t us_of_half_day = us_of_day / 2;
// A pause inside one log that is believed; the wrong order of day and month makes jumps of 28 days and more.
constexpr std::int64_t longest_pause_days = 7;

[[noreturn]] void refuse(Place place, std::string problem, std::string remedy) {
  throw UserError({Trouble::bad_data, std::move(place), std::move(problem), std::move(remedy)});
}

/// Calls `take` with the cell of each row until it returns false.
void for_each_cell(const Source& source, const Understanding& log, int column,
                   const std::function<bool(std::string_view, int)>& take) {
  TableWatch table(log);
  Lines lines(source);
  for (Line line; lines.next(line);) {
    if (line.number < log.first_data_line || table.is_outside(line)) continue;
    char* at = line.text;
    std::string_view cell;
    int i = 0;
    for (; i <= column && at != nullptr; ++i)
      cell = take_cell(at, line.text + line.size, log.delimiter.value);
    if (i <= column || cell.empty()) continue;
    const bool is_name = std::none_of(cell.begin(), cell.end(), [](char c) { return c >= '0' && c <= '9'; });
    if (is_name)
      table.take_no_row(line);
    else if (!take(cell, line.number))
      return;
  }
}

std::string order_name(DateOrder order) {
  return order == DateOrder::day_first     ? "day first"
         : order == DateOrder::month_first ? "month first"
                                           : "year first";
}

/// One way to read dates of three numbers, tried on the whole log.
struct Reading {
  DateOrder order;
  bool possible = true;
  bool steady = true; ///< the days advance (or fall back) without a jump of weeks
  int against_line = 0;
  std::string against;
  std::optional<std::int64_t> last_day;
};

void try_date(Reading& reading, const WrittenDate& date, int line, std::string_view text) {
  const auto against = [&] {
    if (reading.against_line > 0) return;
    reading.against_line = line;
    reading.against = shown(text);
  };
  const auto midnight = midnight_of(date, reading.order);
  if (!midnight) {
    reading.possible = false;
    return against();
  }
  const std::int64_t day = midnight->us / us_of_day;
  if (reading.last_day && std::abs(day - *reading.last_day) > longest_pause_days) {
    reading.steady = false;
    against();
  }
  reading.last_day = day;
}

bool same_numbers(const WrittenDate& a, const WrittenDate& b) {
  return a.first == b.first && a.second == b.second && a.third == b.third;
}

/// What may stand in front, by readings of which two or three are left.
std::string parts_in_front(const std::vector<const Reading*>& left) {
  if (left.size() > 2) return "the day, the month or the year";
  if (left[0]->order == DateOrder::month_first) return "the month or the year";
  return left[1]->order == DateOrder::month_first ? "the day or the month" : "the day or the year";
}

/// "--date-order day-first or --date-order month-first".
std::string options_of(const std::vector<const Reading*>& readings) {
  std::string text;
  for (std::size_t i = 0; i < readings.size(); ++i) {
    const DateOrder order = readings[i]->order;
    text += (i == 0 ? "" : i + 1 == readings.size() ? " or " : ", ");
    text += order == DateOrder::day_first     ? "--date-order day-first"
            : order == DateOrder::month_first ? "--date-order month-first"
                                              : "--date-order year-first";
  }
  return text;
}

/// What in the log rules out a reading.
std::string against(const Reading& reading) {
  const std::string order = order_name(reading.order);
  return reading.possible
             ? fmt::format("line {}, {}, would be a jump of weeks {}", reading.against_line, reading.against,
                           order)
             : fmt::format("line {}, {}, is no date {}", reading.against_line, reading.against, order);
}

/// The only reading that fits all dates.
Choice<DateOrder> chosen(const std::vector<Reading>& readings, const Place& place,
                         const std::string& example) {
  std::vector<const Reading*> all;
  std::vector<const Reading*> left;
  std::vector<const Reading*> possible;
  for (const Reading& reading : readings) {
    all.push_back(&reading);
    if (reading.possible && reading.steady) left.push_back(&reading);
    if (reading.possible) possible.push_back(&reading);
  }
  if (left.empty() && possible.size() == 1) left = possible;
  if (left.empty())
    refuse(place,
           all.size() > 2
               ? fmt::format("dates such as \"{}\" jump about, read day first, month first or year first",
                             example)
               : fmt::format("dates such as \"{}\" jump about, read day first or month first", example),
           "say " + options_of(all));
  if (left.size() > 1)
    refuse(place,
           fmt::format("\"{}\" may have {} first, and no date of the log settles it", example,
                       parts_in_front(left)),
           "say " + options_of(left));
  std::string evidence;
  for (const Reading& reading : readings)
    if (&reading != left[0] && reading.against_line > 0)
      evidence = evidence.empty() ? against(reading) : evidence + "; " + against(reading);
  return {left[0]->order, How::found, evidence.empty() ? order_name(left[0]->order) : evidence};
}

Choice<DateOrder> find_date_order(const Source& source, const Understanding& log, const TimePlace& where,
                                  const LogOptions& options) {
  if (options.date_order) return {*options.date_order, How::given, "--date-order"};
  std::vector<Reading> readings{{DateOrder::day_first, true, true, 0, "", {}},
                                {DateOrder::month_first, true, true, 0, "", {}}};
  std::optional<WrittenDate> last;
  std::string example;
  Place place{source.name(), 0, 0, where.column.key_path};
  bool two_digits = false;
  bool differ = false; // some date is not the same day in both orders
  for_each_cell(source, log, where.date >= 0 ? where.date : where.time, [&](std::string_view cell, int line) {
    const auto time = read_written_time(cell);
    if (!time || !time->date || time->date->order) return true;
    if (last && same_numbers(*last, *time->date)) return true;
    last = time->date;
    if (place.line == 0) {
      place.line = line;
      example = shown(cell);
      two_digits = time->date->two_digit_year;
      if (two_digits) readings.push_back({DateOrder::year_first, true, true, 0, "", {}});
    }
    differ = differ || time->date->first != time->date->second;
    for (Reading& reading : readings)
      try_date(reading, *time->date, line, cell);
    // A two-digit year may yet turn out to stand first, so such a log is read to its end.
    return two_digits || (readings[0].possible && readings[1].possible);
  });
  const bool may_begin_with_year = two_digits && readings[2].possible && readings[2].steady;
  if (!differ && !may_begin_with_year)
    return {DateOrder::day_first, How::found, "day and month are the same number in every date"};
  Choice<DateOrder> found = chosen(readings, place, example);
  if (two_digits)
    found.evidence = found.evidence + "; years 69 to 99 are 1969 to 1999, 00 to 68 are 2000 to 2068";
  return found;
}

/// What the clocks of a log without dates show.
struct ClockScan {
  bool over_a_day = false; ///< "25:10:00": no time of day
  bool passes_midnight = false;
  bool two_parts = true;
  bool begins_at_zero = false;
  bool any = false;
  std::string first;
  Place place;
  std::string evidence;
};

ClockScan scan_clocks(const Source& source, const Understanding& log, const TimePlace& where) {
  ClockScan scan;
  scan.place = {source.name(), 0, 0, where.column.key_path};
  std::int64_t last_us = 0;
  bool ends_a_day = false; // 24:00, which is a clock where a new day follows it
  for_each_cell(source, log, where.time, [&](std::string_view cell, int line) {
    const std::size_t colon = cell.find_first_of(":hH");
    const bool has_digits = colon != std::string_view::npos && colon > 0 &&
                            cell.substr(0, colon).find_first_not_of("0123456789") == std::string_view::npos;
    if (!has_digits) return true;
    const auto time = read_written_time(cell);
    if (!scan.any) {
      scan.first = shown(cell);
      scan.place.line = line;
      scan.begins_at_zero = time && time->clock_us == 0;
    }
    if (cell.find(':', colon + 1) != std::string_view::npos) scan.two_parts = false;
    if (!time || !time->clock_us) {
      if (colon >= 2 && cell.substr(0, colon) >= "24") scan.over_a_day = true;
      return true;
    }
    ends_a_day = ends_a_day || *time->clock_us == us_of_day;
    if (scan.any && std::abs(*time->clock_us - last_us) > us_of_half_day && !scan.passes_midnight) {
      scan.passes_midnight = true;
      scan.evidence = "line " + std::to_string(line) + ", " + shown(cell) + ", is past a midnight";
    }
    scan.any = true;
    last_us = *time->clock_us;
    return true;
  });
  scan.over_a_day = scan.over_a_day || (ends_a_day && !scan.passes_midnight);
  return scan;
}

bool says_when(const std::string& key) {
  constexpr std::array<std::string_view, 5> words{"date", "start", "began", "fecha", "inicio"};
  return std::any_of(words.begin(), words.end(),
                     [&](std::string_view word) { return key.find(word) != std::string::npos; });
}

/// "Start date: 2026-03-08": the first line before the header that names a date and gives one.
std::optional<Choice<WallTime>> date_before_header(std::span<const SampleLine> preamble,
                                                   const LogOptions& options) {
  for (const SampleLine& line : preamble) {
    const std::size_t mark = line.text.find_first_of(":=,;\t|");
    if (mark == std::string::npos || !says_when(lower_case(line.text.substr(0, mark)))) continue;
    std::string_view value = std::string_view(line.text).substr(mark + 1);
    while (!value.empty() && std::string_view(" :=,;\t|\"").find(value.front()) != std::string_view::npos)
      value.remove_prefix(1);
    while (!value.empty() && std::string_view(" ,;\t|\"").find(value.back()) != std::string_view::npos)
      value.remove_suffix(1);
    const auto time = read_written_time(value);
    if (!time || !time->date || (!time->date->order && !options.date_order)) continue;
    if (const auto midnight = midnight_of(*time->date, options.date_order.value_or(DateOrder::day_first)))
      return Choice<WallTime>{*midnight, How::found,
                              "line " + std::to_string(line.number) + ": " + shown(line.text, 60)};
  }
  return std::nullopt;
}

void settle_clock(const Source& source, const Understanding& log, const TimePlace& where,
                  std::span<const SampleLine> preamble, const LogOptions& options, TimeFound& found) {
  const ClockScan scan = scan_clocks(source, log, where);
  const bool given = options.time_form == TimeRule::Form::clock;
  if (scan.over_a_day && !given && !found.twelve_hours) {
    if (scan.two_parts)
      refuse(scan.place,
             "\"" + scan.first + "\" is no time of day in every row, and has two parts, h:mm or m:ss",
             "say --elapsed-unit h (h:mm) or min (m:ss)");
    found.rule.form = {TimeRule::Form::elapsed, How::found,
                       "first time is " + scan.first + ", and hours pass 23"};
    found.rule.zone = {"", How::assumed, "elapsed times need no zone"};
    return;
  }
  if (options.date)
    found.rule.date = {*options.date, How::given, "--date"};
  else
    found.rule.date = date_before_header(preamble, options);
  const bool settled = given || found.twelve_hours || scan.passes_midnight || found.rule.date;
  if (!settled && (scan.two_parts || scan.begins_at_zero))
    refuse(
        scan.place, "\"" + scan.first + "\" has no date, and may be a clock or time since the start",
        "say --time-form clock, or --date 2026-03-08 with its day; for time since the start say --time-form "
        "elapsed, or --elapsed-unit h (h:mm) or min (m:ss)");
  found.rule.form.how = given ? How::given : settled ? How::found : How::assumed;
  found.rule.form.evidence = given                  ? "--time-form"
                             : found.twelve_hours   ? "times say AM or PM, first " + scan.first
                             : scan.passes_midnight ? scan.evidence
                             : found.rule.date      ? "a date is given for them, first " + scan.first
                                               : "first time is " + scan.first + ", taken as a time of day";
  if (!found.rule.date)
    found.rule.zone = {"", How::assumed,
                       "without a date no zone is used; times are told since the first row"};
}

} // namespace

void settle_time(const Source& source, const Understanding& log, const TimePlace& where,
                 std::span<const SampleLine> preamble, const LogOptions& options, TimeFound& found) {
  if (found.order_open) found.rule.date_order = find_date_order(source, log, where, options);
  if (found.rule.form.value == TimeRule::Form::clock)
    settle_clock(source, log, where, preamble, options, found);
  const bool has_form = options.time_form && *options.time_form != found.rule.form.value;
  if (has_form)
    refuse(where.column, "its times are not of the form given with --time-form: " + found.rule.form.evidence,
           "leave --time-form out, or name another column with --time-column");
}

} // namespace coldbag
