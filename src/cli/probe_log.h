// The readings of a check from a log, where the probe was at rest.
#pragma once

#include "cli/probe_readings.h"
#include "probes/rest.h"

#include <optional>

namespace coldbag {

/// The readings, and where in the log they were taken.
struct RestsFound {
  Points points;
  std::optional<Rest> in_ice;
  std::optional<Rest> at_boil;
};

/// Reads --log, by --column or the probe's own column. Throws UserError where the log cannot be read, has no
/// such column, or the probe was never at rest.
[[nodiscard]] RestsFound log_points(const Given& given, const Bench& bench);

} // namespace coldbag
