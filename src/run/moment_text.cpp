#include "run/moment_text.h"

#include "quantity/print.h"

#include <fmt/format.h>

#include <cmath>

namespace coldbag {

namespace {

std::string iso_duration(double at_s) {
  const auto ms = static_cast<std::int64_t>(std::llround(std::abs(at_s) * 1000));
  std::string text = at_s < 0 ? "-PT" : "PT";
  const std::int64_t h = ms / 3600000;
  const std::int64_t min = ms / 60000 % 60;
  const double s = static_cast<double>(ms % 60000) / 1000;
  if (h > 0) text += fmt::format("{}H", h);
  if (min > 0) text += fmt::format("{}M", min);
  if (s > 0 || (h == 0 && min == 0)) text += fmt::format("{:g}S", s);
  return text;
}

} // namespace

std::optional<WallTime> wall_at(const RunClock& clock, double at_s) {
  if (clock.start && !clock.zone.empty())
    if (const auto zone = Zone::find(clock.zone))
      return wall_time_of(*zone, plus_seconds(*clock.start, at_s));
  if (!clock.start_wall) return std::nullopt;
  return WallTime{clock.start_wall->us + static_cast<std::int64_t>(std::llround(at_s * 1e6))};
}

std::string moment_iso(const RunClock& clock, double at_s) {
  if (clock.start) {
    const Instant instant = plus_seconds(*clock.start, at_s);
    const auto zone = clock.zone.empty() ? std::nullopt : Zone::find(clock.zone);
    return zone ? print_iso_local(*zone, instant) : print_iso_utc(instant);
  }
  if (const auto wall = wall_at(clock, at_s)) return print_iso_wall(*wall);
  return iso_duration(at_s);
}

std::string moment_for_people(const RunClock& clock, double at_s, int up_to_minutes) {
  const auto wall = wall_at(clock, at_s);
  const std::int64_t step_us = (up_to_minutes > 0 ? up_to_minutes : 1) * std::int64_t{60000000};
  if (!wall) {
    const double told_s =
        up_to_minutes > 0 ? std::ceil(at_s / (up_to_minutes * 60)) * up_to_minutes * 60 : at_s;
    return (told_s < 0 ? "-" : "+") + print_duration(std::abs(told_s));
  }
  std::int64_t us = wall->us;
  const std::int64_t rest = ((us % step_us) + step_us) % step_us;
  if (up_to_minutes > 0)
    us += rest == 0 ? 0 : step_us - rest;
  else
    us += rest * 2 >= step_us ? step_us - rest : -rest;
  const CalendarTime at = calendar_time(WallTime{us});
  const auto first = wall_at(clock, 0);
  const CalendarTime begin = calendar_time(*first);
  const bool same_day = at.year == begin.year && at.month == begin.month && at.day == begin.day;
  return same_day
             ? fmt::format("{:02}:{:02}", at.hour, at.minute)
             : fmt::format("{:04}-{:02}-{:02} {:02}:{:02}", at.year, at.month, at.day, at.hour, at.minute);
}

} // namespace coldbag
