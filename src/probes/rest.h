// Where a probe was at rest: the stretch of a log in which it sat in ice, or at the boil.
#pragma once

#include "probes/check_rules.h"

#include <optional>
#include <span>

namespace coldbag {

/// A stretch of readings that stayed within `rest_span` for `rest_for` or longer.
struct Rest {
  double from_s = 0;
  double to_s = 0;
  double mean_degC = 0; ///< of its middle half: the ends settle or leave
  double spread_K = 0;  ///< standard deviation of the readings there
  int readings = 0;     ///< in all
  bool operator==(const Rest&) const = default;
};

/// The longest rest whose mean lies within `rest_near` of a temperature; of equals the last. A silence longer
/// than `rest_for` ends one. Times rise; times and readings are as many (checked). At least three readings.
[[nodiscard]] std::optional<Rest> find_rest(std::span<const double> time_s, std::span<const double> degC,
                                            double near_degC, const CheckRules& rules);

} // namespace coldbag
