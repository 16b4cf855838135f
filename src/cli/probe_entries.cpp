#include "cli/probe_entries.h"

#include "clock/zone.h"
#include "farm/check_text.h"

#include <chrono>
#include <ctime>

namespace coldbag {

namespace {

std::string way_of(const Given& given, const Points& points) {
  if (!given.texts("point").empty()) return "reference";
  if (points.low && points.high) return "ice and boil";
  return points.low ? "ice" : "boil";
}

WallTime now_on_the_wall(const Site& site) {
  const auto now = std::chrono::floor<std::chrono::microseconds>(std::chrono::system_clock::now());
  constexpr std::int64_t minute_us = 60'000'000;
  if (site.zone.known())
    if (const auto zone = Zone::find(*site.zone.value)) {
      const WallTime wall = wall_time_of(*zone, now);
      return {wall.us - wall.us % minute_us};
    }
  const std::time_t seconds = std::chrono::system_clock::to_time_t(now);
  std::tm parts{};
  localtime_r(&seconds, &parts);
  return wall_time({parts.tm_year + 1900, parts.tm_mon + 1, parts.tm_mday, parts.tm_hour, parts.tm_min, 0})
      .value_or(WallTime{});
}

IsoTime day_option(const Given& given, const std::string& option) {
  const auto time = parse_iso_time(given.text(option));
  if (!time)
    refuse_option(option, "\"" + given.text(option) + "\" is no date",
                  "write for example 2026-03-01, or 2026-03-01T10:30");
  return *time;
}

void sign(const Given& given, const Bench& bench, ProbeCheck& check) {
  constexpr std::int64_t day_us = 86'400'000'000;
  check.on = now_on_the_wall(bench.site);
  check.has_clock = true;
  if (given.has("on")) {
    const IsoTime on = day_option(given, "on");
    check.on = on.wall;
    check.has_clock = on.has_clock;
  }
  const auto days = static_cast<std::int64_t>(bench.rules.next_due_after_days);
  check.next_due = WallTime{check.on->us - (check.on->us % day_us + day_us) % day_us + days * day_us};
  if (given.has("next-due")) {
    const IsoTime due = day_option(given, "next-due");
    if (due.wall <= *check.on)
      refuse_option("next-due", "is not after the check", "write a later day, for example 2027-03-01");
    check.next_due = due.wall;
  }
  check.by = given.text("by");
}

std::optional<CheckReach> reach_of(const Bench& bench, const ProbeCheck& check) {
  const CheckPoint& upper = check.high ? *check.high : *check.low;
  const std::string key = probe_of(bench).probe_class.value.value_or("unstated");
  const ProbeClass* probe_class = find_probe_class(bench.classes, key);
  if (probe_class == nullptr) return std::nullopt;
  return CheckReach{upper.is_degC + bench.rules.extrapolated_beyond_K,
                    class_tolerance_K(*probe_class, upper.is_degC), key};
}

std::optional<CheckMoved> moved_of(const Bench& bench, const ProbeCheck& found) {
  const double at_degC = found.high ? found.high->is_degC : found.low->is_degC;
  const ChecksAround earlier =
      checks_around(probe_of(bench).checks, found.on, found.high ? found.high->is_degC : 0);
  if (earlier.before == nullptr || !earlier.before->on) return std::nullopt;
  return CheckMoved{*earlier.before->on, at_degC,
                    correction_at_K(found.correction, at_degC) -
                        correction_at_K(earlier.before->correction, at_degC)};
}

} // namespace

std::vector<ProbeCheck> checks_of(const Given& given, const Bench& bench, const Points& found,
                                  const Points& left) {
  ProbeCheck check = made_check(found.low, found.high);
  check.how = way_of(given, found);
  if (found.high && check.how != "reference") check.site_pressure_Pa = bench.site_pressure_Pa;
  sign(given, bench, check);
  check = as_written(check);
  if (!left.low && !left.high) return {check};
  if (left.low.has_value() != found.low.has_value() || left.high.has_value() != found.high.has_value())
    throw UserError(usage("as found and as left were not read at the same points",
                          "give --ice-left where --ice is given, and --boil-left where --boil is"));
  ProbeCheck after = made_check(left.low, left.high);
  after.how = check.how;
  after.site_pressure_Pa = check.site_pressure_Pa;
  sign(given, bench, after);
  after.on = check.on;
  after = as_written(after);
  check.state = CheckState::as_found;
  after.state = CheckState::as_left;
  return {check, after};
}

MadeCheck summary_of(const Bench& bench, const std::vector<ProbeCheck>& checks) {
  MadeCheck made;
  made.probe = bench.probe;
  made.units = bench.site.units;
  made.checks = checks;
  made.by_barometer = bench.by_barometer;
  made.altitude_m = bench.altitude_m;
  made.reach = reach_of(bench, checks.back());
  made.moved = moved_of(bench, checks.front());
  return made;
}

} // namespace coldbag
