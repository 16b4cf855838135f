// The figures by which a check of a probe is made, judged and aged.
#pragma once

#include "tables/edition.h"

#include <string_view>

namespace coldbag {

/// check-rules.csv: a row for each figure; half-widths are those of rectangular distributions.
struct CheckRules {
  double barometer_half_Pa = 0;
  double weather_half_Pa = 0;
  double boil_half_K = 0;
  double ice_half_K = 0;
  double log_resolution_K = 0;
  double extrapolated_beyond_K = 0;
  double farthest_off_K = 0;
  double next_due_after_days = 0;
  double old_after_days = 0;
  double old_drift_K_per_year = 0;
  double rest_for_s = 0;
  double rest_near_K = 0;
  double rest_span_K = 0;
  double sheet_lowest_degC = 0;
  double sheet_highest_degC = 0;
  bool operator==(const CheckRules&) const = default;
};

/// Throws UserError with every fault: those of Table::read, a row that is missing, a row that is none of
/// these, and a unit that is not the row's.
[[nodiscard]] CheckRules read_check_rules(std::string_view source_name, std::string_view csv);
/// Those of check-rules.csv.
[[nodiscard]] CheckRules read_check_rules(const TableFiles& tables);

} // namespace coldbag
