// A moment of the run as a date and time in the site's zone, or as time since the log began.
#pragma once

#include "run/run_report.h"

#include <optional>
#include <string>

namespace coldbag {

/// What the clock on the site's wall showed; none where the log has no clock.
[[nodiscard]] std::optional<WallTime> wall_at(const RunClock& clock, double at_s);

/// ISO 8601: "2026-03-08T22:10:00-05:00" where the zone is known, "2026-03-08T22:10:00" where only a wall
/// clock is, "PT3H20M" where the log has no clock.
[[nodiscard]] std::string moment_iso(const RunClock& clock, double at_s);

/// For people: "22:10", with the date before it where it is another day than the run's first; "+3 h 20 min",
/// since the first reading, without a clock. `up_to_minutes`: rounded up to a multiple of so many minutes (0:
/// to the nearest minute).
[[nodiscard]] std::string moment_for_people(const RunClock& clock, double at_s, int up_to_minutes = 0);

} // namespace coldbag
