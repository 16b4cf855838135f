// Dates and clocks as people and recorders write them: day, month and year in any order, months by name,
// twelve-hour clocks. What the text leaves open (day first or month first) stays open here.
#pragma once

#include "clock/instant.h"

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace coldbag {

enum class DateOrder { year_first, day_first, month_first };

/// A date of three parts. Where the month is named or the year has four digits in front, its order is known.
struct WrittenDate {
  int first = 0, second = 0, third = 0;
  bool two_digit_year = false;
  std::optional<DateOrder> order; ///< nothing where three numbers may stand in several orders
};

struct WrittenTime {
  std::optional<WrittenDate> date;
  std::optional<std::int64_t> clock_us; ///< since midnight, at most a day
  std::optional<int> offset_s;          ///< of "Z", "UTC", "+02:00"
  bool twelve_hours = false;            ///< with AM or PM
};

/// Two digits of a year: 69 to 99 are 1969 to 1999, 00 to 68 are 2000 to 2068 (POSIX strptime, %y; from
/// memory).
[[nodiscard]] int full_year(int two_digits);

/// Reads "08/03/2026 2:05:09,25 p. m.", "8 de marzo de 2026", "Mar 8, 2026 14:05", "8.3.2026 14.05",
/// "Sun Mar 8 14:05:09 2026", "Sun, 8 Mar 2026 14:05:09 +0100" (RFC 2822), "14:05:09", "14h05", ISO 8601.
/// 24:00 is the end of its day, and second 60 the first of the next minute. Months and weekdays by name in
/// the languages of calendar_words.h. Nothing where the text is none, or where something in it is not
/// understood.
[[nodiscard]] std::optional<WrittenTime> read_written_time(std::string_view text);

/// Reads a clock that is known to be one: "18:30:00", "18h30" and, which alone may be a number or a date,
/// "18.30" and "18.30.00".
[[nodiscard]] std::optional<WrittenTime> read_written_clock(std::string_view text);

/// The word that keeps a text from being a time, where it stands in the place of a month and is known as
/// none: "helmikuuta" of "8 helmikuuta 2026". "" where something else is wrong, or nothing.
[[nodiscard]] std::string unknown_month_in(std::string_view text);

/// Midnight of the date; `order` counts where the date leaves its own open. Nothing where no calendar has it.
[[nodiscard]] std::optional<WallTime> midnight_of(const WrittenDate& date, DateOrder order);

} // namespace coldbag
