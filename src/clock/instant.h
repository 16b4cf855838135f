// Instants, wall times and spans. An instant is the same moment everywhere; a wall time is what a clock on a
// wall shows, and only a zone turns one into the other.
#pragma once

#include <chrono>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace coldbag {

/// A moment, to the microsecond, UTC.
using Instant = std::chrono::time_point<std::chrono::system_clock, std::chrono::microseconds>;

/// What a clock on the wall shows, as microseconds since 1970-01-01T00:00 on that wall. No zone.
struct WallTime {
  std::int64_t us = 0;
  // NOLINTNEXTLINE(modernize-use-nullptr): the 0 that it sees is the compiler's own
  auto operator<=>(const WallTime&) const = default;
};

/// Parts of a wall time. month 1-12, day 1-31, hour 0-23, minute 0-59, second 0 to below 60.
struct CalendarTime {
  int year = 1970;
  int month = 1;
  int day = 1;
  int hour = 0;
  int minute = 0;
  std::int64_t us_of_minute = 0;
  bool operator==(const CalendarTime&) const = default;
};

/// The wall time of these parts, or nothing where no calendar has them (30 February, hour 24, second 60).
[[nodiscard]] std::optional<WallTime> wall_time(const CalendarTime& parts);
[[nodiscard]] CalendarTime calendar_time(WallTime wall);

/// Seconds from `from` to `to`; exact to the microsecond within 285 years.
[[nodiscard]] double seconds_between(Instant from, Instant to);
[[nodiscard]] Instant plus_seconds(Instant from, double seconds);

/// A time as ISO 8601 writes it, with what it says of its zone. `wall` is what is written; `offset_s` is
/// given for "Z" (0) and "+05:30" (19800).
struct IsoTime {
  WallTime wall;
  std::optional<int> offset_s;
  bool has_clock = false; ///< false where only a date was written
};

/// Reads "2026-03-08", "2026-03-08 14:05", "2026-03-08T14:05:09.25Z", "20260308T140509+0100"; nothing where
/// it is none. 24:00 is the end of its day, and second 60 the first of the next minute (ISO 8601, from
/// memory).
[[nodiscard]] std::optional<IsoTime> parse_iso_time(std::string_view text);
/// Reads the clock part alone: "14:05", "14:05:09", "14:05:09.25"; microseconds since midnight.
[[nodiscard]] std::optional<std::int64_t> parse_iso_clock_us(std::string_view text);

/// "2026-03-08T14:05:09Z"; a fraction is written only where there is one, at most six digits.
[[nodiscard]] std::string print_iso_utc(Instant instant);
/// "2026-03-08T14:05:09", the same for a wall time.
[[nodiscard]] std::string print_iso_wall(WallTime wall);

} // namespace coldbag
