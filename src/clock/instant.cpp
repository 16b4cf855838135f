#include "clock/instant.h"

#include "errors/our_fault.h"

#include <date/date.h>

#include <fmt/format.h>

#include <cmath>

namespace coldbag {
namespace {

constexpr std::int64_t us_per_second = 1'000'000;
constexpr std::int64_t us_per_minute = 60 * us_per_second;
constexpr std::int64_t us_per_hour = 60 * us_per_minute;
constexpr std::int64_t us_per_day = 24 * us_per_hour;

/// Digits are taken from the front; a read that fails leaves the text as it was.
class Reader {
 public:
  explicit Reader(std::string_view text) : rest_(text) {}

  [[nodiscard]] bool at_end() const { return rest_.empty(); }
  [[nodiscard]] bool next_is(char wanted) const { return !rest_.empty() && rest_.front() == wanted; }
  [[nodiscard]] bool next_is_digit() const { return digits_ahead() > 0; }

  bool take(char wanted) {
    if (!next_is(wanted)) return false;
    rest_.remove_prefix(1);
    return true;
  }

  std::optional<int> take_digits(std::size_t count) {
    if (rest_.size() < count) return std::nullopt;
    int number = 0;
    for (std::size_t i = 0; i < count; ++i) {
      if (!is_digit(rest_[i])) return std::nullopt;
      number = 10 * number + (rest_[i] - '0');
    }
    rest_.remove_prefix(count);
    return number;
  }

  /// One to nine digits behind the decimal mark, rounded to microseconds.
  std::optional<std::int64_t> take_fraction_us() {
    const std::size_t count = digits_ahead();
    if (count < 1 || count > 9) return std::nullopt;
    std::int64_t ns = 0;
    for (std::size_t i = 0; i < 9; ++i)
      ns = 10 * ns + (i < count ? rest_[i] - '0' : 0);
    rest_.remove_prefix(count);
    return (ns + 500) / 1000;
  }

 private:
  static bool is_digit(char c) { return c >= '0' && c <= '9'; }
  [[nodiscard]] std::size_t digits_ahead() const {
    std::size_t count = 0;
    while (count < rest_.size() && is_digit(rest_[count]))
      ++count;
    return count;
  }

  std::string_view rest_;
};

enum class Form { extended, basic };

std::optional<std::int64_t> day_number(int year, int month, int day) {
  if (year < 0 || year > 9999 || month < 1 || day < 1) return std::nullopt;
  const date::year_month_day ymd{date::year{year}, date::month{static_cast<unsigned>(month)},
                                 date::day{static_cast<unsigned>(day)}};
  if (!ymd.ok()) return std::nullopt;
  return date::sys_days{ymd}.time_since_epoch().count();
}

std::optional<std::int64_t> take_date_us(Reader& reader, Form& form) {
  const auto year = reader.take_digits(4);
  if (!year) return std::nullopt;
  form = reader.take('-') ? Form::extended : Form::basic;
  const auto month = reader.take_digits(2);
  if (!month || (form == Form::extended && !reader.take('-'))) return std::nullopt;
  const auto day = reader.take_digits(2);
  if (!day) return std::nullopt;
  const auto number = day_number(*year, *month, *day);
  if (!number) return std::nullopt;
  return *number * us_per_day;
}

/// Seconds and their fraction, where they are written. 60 is a leap second, or a clock that rounds up.
std::optional<std::int64_t> take_seconds_us(Reader& reader, Form form) {
  const bool written = form == Form::extended ? reader.take(':') : reader.next_is_digit();
  if (!written) return 0;
  const auto second = reader.take_digits(2);
  if (!second || *second > 60) return std::nullopt;
  const std::int64_t whole_us = *second * us_per_second;
  if (!reader.take('.') && !reader.take(',')) return whole_us;
  const auto fraction_us = reader.take_fraction_us();
  if (!fraction_us) return std::nullopt;
  return whole_us + *fraction_us;
}

std::optional<std::int64_t> take_clock_us(Reader& reader, Form form) {
  const auto hour = reader.take_digits(2);
  if (!hour || *hour > 24 || (form == Form::extended && !reader.take(':'))) return std::nullopt;
  const auto minute = reader.take_digits(2);
  if (!minute || *minute > 59) return std::nullopt;
  const auto seconds_us = take_seconds_us(reader, form);
  if (!seconds_us) return std::nullopt;
  if (*hour == 24 && *minute * us_per_minute + *seconds_us > 0) return std::nullopt;
  return *hour * us_per_hour + *minute * us_per_minute + *seconds_us;
}

std::optional<int> take_offset_s(Reader& reader) {
  if (reader.take('Z') || reader.take('z')) return 0;
  const bool west = reader.next_is('-');
  if (!reader.take('+') && !reader.take('-')) return std::nullopt;
  const auto hour = reader.take_digits(2);
  if (!hour || *hour > 23) return std::nullopt;
  int minute = 0;
  if (!reader.at_end()) {
    reader.take(':');
    const auto written = reader.take_digits(2);
    if (!written || *written > 59) return std::nullopt;
    minute = *written;
  }
  const int offset_s = 3600 * *hour + 60 * minute;
  return west ? -offset_s : offset_s;
}

std::string print_fraction(std::int64_t us) {
  if (us == 0) return {};
  std::string digits = fmt::format(".{:06}", us);
  digits.erase(digits.find_last_not_of('0') + 1);
  return digits;
}

} // namespace

std::optional<WallTime> wall_time(const CalendarTime& parts) {
  const bool clock_ok = parts.hour >= 0 && parts.hour <= 23 && parts.minute >= 0 && parts.minute <= 59 &&
                        parts.us_of_minute >= 0 && parts.us_of_minute < us_per_minute;
  if (!clock_ok) return std::nullopt;
  const auto day = day_number(parts.year, parts.month, parts.day);
  if (!day) return std::nullopt;
  return WallTime{*day * us_per_day + parts.hour * us_per_hour + parts.minute * us_per_minute +
                  parts.us_of_minute};
}

CalendarTime calendar_time(WallTime wall) {
  const date::local_time<std::chrono::microseconds> local{std::chrono::microseconds{wall.us}};
  const auto midnight = date::floor<date::days>(local);
  const date::year_month_day ymd{midnight};
  const std::int64_t us = (local - midnight).count();
  CalendarTime parts;
  parts.year = static_cast<int>(ymd.year());
  parts.month = static_cast<int>(static_cast<unsigned>(ymd.month()));
  parts.day = static_cast<int>(static_cast<unsigned>(ymd.day()));
  parts.hour = static_cast<int>(us / us_per_hour);
  parts.minute = static_cast<int>(us % us_per_hour / us_per_minute);
  parts.us_of_minute = us % us_per_minute;
  return parts;
}

double seconds_between(Instant from, Instant to) {
  return static_cast<double>((to - from).count()) / static_cast<double>(us_per_second);
}

Instant plus_seconds(Instant from, double seconds) {
  // Beyond this, microseconds no longer fit a double.
  our_check(std::abs(seconds) < 9.0e9, "a span is finite and shorter than 285 years");
  return from + std::chrono::microseconds{std::llround(seconds * static_cast<double>(us_per_second))};
}

std::optional<IsoTime> parse_iso_time(std::string_view text) {
  Reader reader{text};
  Form form = Form::extended;
  const auto date_us = take_date_us(reader, form);
  if (!date_us) return std::nullopt;
  IsoTime time{WallTime{*date_us}, std::nullopt, false};
  if (reader.at_end()) return time;
  if (!reader.take('T') && !reader.take('t') && !reader.take(' ')) return std::nullopt;
  const auto clock_us = take_clock_us(reader, form);
  if (!clock_us) return std::nullopt;
  time.wall.us += *clock_us;
  time.has_clock = true;
  if (reader.at_end()) return time;
  time.offset_s = take_offset_s(reader);
  if (!time.offset_s || !reader.at_end()) return std::nullopt;
  return time;
}

std::optional<std::int64_t> parse_iso_clock_us(std::string_view text) {
  Reader reader{text};
  const auto us = take_clock_us(reader, Form::extended);
  return reader.at_end() ? us : std::nullopt;
}

std::string print_iso_wall(WallTime wall) {
  const CalendarTime parts = calendar_time(wall);
  return fmt::format("{:04}-{:02}-{:02}T{:02}:{:02}:{:02}{}", parts.year, parts.month, parts.day, parts.hour,
                     parts.minute, parts.us_of_minute / us_per_second,
                     print_fraction(parts.us_of_minute % us_per_second));
}

std::string print_iso_utc(Instant instant) {
  return print_iso_wall(WallTime{instant.time_since_epoch().count()}) + "Z";
}

} // namespace coldbag
