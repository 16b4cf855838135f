#include "logs/row_clock.h"

#include "logs/cell.h"

#include <array>
#include <cmath>
#include <cstring>

namespace coldbag {

namespace {

constexpr std::int64_t us_of_second = 1'000'000;
constexpr std::int64_t us_of_quarter_hour = 900 * us_of_second;
constexpr std::int64_t us_of_half_day = 43'200 * us_of_second;
constexpr std::int64_t us_of_day = 2 * us_of_half_day;
constexpr double s_of_day = 86'400;
// Days from the first day of a spreadsheet to 1970-01-01 (ECMA-376 part 1, date systems; from memory). The
// 1900 system counts a 29 February 1900 that never was, which no log of steam reaches back to.
constexpr double days_1900_to_1970 = 25'569;
constexpr double days_1904_to_1970 = 24'107;
constexpr double latest_days = 100'000;
constexpr double latest_epoch_s = 8e9;

Stamp good(std::int64_t us) {
  return {StampKind::good, us, us};
}

/// Half a unit of the last digit behind the mark.
double half_a_digit(std::string_view text, char decimal_mark) {
  const std::size_t mark = text.find(decimal_mark);
  const std::size_t digits = mark == std::string_view::npos ? 0 : text.size() - mark - 1;
  return 0.5 * std::pow(10.0, -static_cast<double>(digits));
}

/// A whole second where the digits of a day leave room for it: clocks tick in seconds, and few write enough
/// digits of a day to say so.
std::int64_t us_of_days(double days, double half_a_digit_days) {
  const double us = days * s_of_day * 1e6;
  const auto whole = static_cast<std::int64_t>(std::llround(days * s_of_day)) * us_of_second;
  const double room_us = half_a_digit_days * s_of_day * 1e6 + 2;
  return std::abs(us - static_cast<double>(whole)) <= room_us ? whole : std::llround(us);
}

} // namespace

RowClock::RowClock(const Understanding& understanding)
    : form_(understanding.time.form.value), decimal_mark_(understanding.decimal_mark.value),
      written_offset_(understanding.time.written_offset.has_value()) {
  const TimeRule& rule = understanding.time;
  for (const LogColumn& column : understanding.columns)
    if (column.kind.value == ColumnKind::time) unit_ = column.unit.value;
  if (rule.date_order) order_ = rule.date_order->value;
  if (rule.date) date_ = rule.date->value;
  const std::string zone = written_offset_ ? *rule.written_offset : rule.zone.value;
  if (!zone.empty() && form_ != TimeRule::Form::elapsed) zone_ = Zone::find(zone);
}

Stamp RowClock::read(std::string_view date, std::string_view time) {
  switch (form_) {
  case TimeRule::Form::iso:
    return read_iso(date, time);
  case TimeRule::Form::written:
    return read_written(date, time);
  case TimeRule::Form::clock:
    return read_clock(time);
  case TimeRule::Form::elapsed:
    if (const auto us = read_elapsed_us(time, decimal_mark_, unit_)) return good(*us);
    return {};
  default:
    return read_number(time);
  }
}

Stamp RowClock::read_iso(std::string_view date, std::string_view time) {
  std::optional<IsoTime> iso;
  if (date.data() == nullptr) {
    iso = parse_iso_time(time);
  } else {
    std::array<char, 80> joined{};
    if (date.size() + time.size() + 1 > joined.size()) return {};
    std::memcpy(joined.data(), date.data(), date.size());
    joined[date.size()] = 'T';
    std::memcpy(joined.data() + date.size() + 1, time.data(), time.size());
    iso = parse_iso_time({joined.data(), date.size() + time.size() + 1});
  }
  if (!iso || !iso->has_clock) return {};
  return from_wall(iso->wall, iso->offset_s);
}

Stamp RowClock::read_written(std::string_view date, std::string_view time) {
  const bool one_cell = date.data() == nullptr;
  const auto clock = one_cell ? read_written_time(time) : read_written_clock(time);
  if (!clock || !clock->clock_us || clock->date.has_value() != one_cell) return {};
  if (clock->date) {
    last_midnight_ = midnight_of(*clock->date, order_.value_or(DateOrder::day_first));
    if (!clock->date->order && !order_) return {};
  } else if (date != last_date_text_) {
    last_date_text_ = date;
    last_midnight_.reset();
    const auto day = read_written_time(date);
    if (day && day->date && !day->clock_us && (day->date->order || order_))
      last_midnight_ = midnight_of(*day->date, order_.value_or(DateOrder::day_first));
  }
  if (!last_midnight_) return {};
  return from_wall({last_midnight_->us + *clock->clock_us}, clock->offset_s);
}

Stamp RowClock::read_number(std::string_view time) {
  std::string_view rest;
  const auto number = coldbag::read_number(time, decimal_mark_, rest);
  if (!number || !rest.empty() || *number < 0) return {};
  if (form_ == TimeRule::Form::epoch) {
    const double seconds = unit_ == ColumnUnit::milliseconds ? *number / 1000 : *number;
    return seconds > latest_epoch_s ? Stamp{} : good(std::llround(seconds * 1e6));
  }
  if (*number > latest_days) return {};
  const double first = form_ == TimeRule::Form::serial_1900 ? days_1900_to_1970 : days_1904_to_1970;
  return from_wall({us_of_days(*number - first, half_a_digit(time, decimal_mark_))}, std::nullopt);
}

/// A clock that falls back by more than half a day has passed midnight; one that jumps ahead by as much has
/// passed it the other way, in a log with the newest row first.
Stamp RowClock::read_clock(std::string_view time) {
  const auto clock = read_written_time(time);
  if (!clock || !clock->clock_us || clock->date) return {};
  std::int64_t us = *clock->clock_us;
  if (last_clock_us_) {
    const std::int64_t last_of_day = ((*last_clock_us_ % us_of_day) + us_of_day) % us_of_day;
    std::int64_t step = us - last_of_day;
    if (step < -us_of_half_day) step += us_of_day;
    if (step > us_of_half_day) step -= us_of_day;
    us = *last_clock_us_ + step;
  }
  last_clock_us_ = us;
  if (!date_) return clock->offset_s ? Stamp{} : good(us);
  return from_wall({date_->us + us}, clock->offset_s);
}

Stamp RowClock::from_wall(WallTime wall, const std::optional<int>& offset_s) {
  if (offset_s.has_value() != written_offset_) return {StampKind::zone_differs, 0, 0};
  if (offset_s) return good(wall.us - *offset_s * us_of_second);
  return zone_ ? place_in_zone(wall) : good(wall.us);
}

/// Zones change on a quarter of an hour, so a quarter whose two ends have one offset has it all through.
Stamp RowClock::place_in_zone(WallTime wall) {
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
  if (quarter_plain_) return good(wall.us - quarter_offset_us_);
  const WallMeaning meaning = instants_of(*zone_, wall);
  if (meaning.kind == WallMeaning::Kind::missing) return {StampKind::missing_hour, 0, 0};
  return {StampKind::good, meaning.first.time_since_epoch().count(),
          meaning.second.time_since_epoch().count()};
}

bool RowClock::date_first_row(std::int64_t first_us) {
  if (form_ != TimeRule::Form::clock || !date_) return false;
  const std::int64_t off_us = wall_of(first_us)->us - date_->us;
  if (off_us >= 0) return false;
  date_->us -= (off_us - us_of_day + 1) / us_of_day * us_of_day;
  last_clock_us_.reset();
  return true;
}

std::optional<Instant> RowClock::instant_of(std::int64_t us) const {
  const bool known = form_ == TimeRule::Form::epoch ||
                     (zone_ && form_ != TimeRule::Form::elapsed && (form_ != TimeRule::Form::clock || date_));
  if (!known) return std::nullopt;
  return Instant(std::chrono::microseconds(us));
}

std::optional<WallTime> RowClock::wall_of(std::int64_t us) const {
  if (form_ == TimeRule::Form::elapsed || (form_ == TimeRule::Form::clock && !date_)) return std::nullopt;
  if (zone_) return wall_time_of(*zone_, Instant(std::chrono::microseconds(us)));
  return WallTime{us};
}

} // namespace coldbag
