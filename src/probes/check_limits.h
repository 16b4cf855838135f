// From where on a reading or a trace counts as faulty: the figures of probe-checks.csv.
#pragma once

#include "tables/edition.h"

#include <string_view>

namespace coldbag {

/// One member a row: the row's key and its unit; none stands for a count or a ratio. What each is for
/// stands beside it in the table and in docs/mathematics/probe-checks.md.
struct CheckLimits {
  double bag_step_K = 0;
  double bag_steepest_K_per_min = 0;
  double behind_K = 0;
  double boiling_band_K = 0;
  double boiling_flat_within_K = 0;
  double boiling_flat_s = 0;
  double boiling_over_K = 0;
  double ceiling_step_K = 0;
  double copied_changes = 0;
  double copied_readings = 0;
  double copied_span_K = 0;
  double drift_K = 0;
  double drift_rest_s = 0;
  double drift_settled_within_K = 0;
  double drift_settled_s = 0;
  double drift_without_rest_K = 0;
  double dropout_readings = 0;
  double dropout_s = 0;
  double exchanged_lead_s = 0;
  double far_behind_ratio = 0;
  double far_behind_s = 0;
  double highest_degC = 0;
  double in_bag_lag_s = 0;
  double in_bag_rise_K = 0;
  double lowest_degC = 0;
  double pulled_out_fall_K = 0;
  double pulled_out_like_K = 0;
  double room_highest_degC = 0;
  double saturation_over_K = 0;
  double saturation_s = 0;
  double saturation_steady_kPa = 0;
  double smooth_least_readings = 0;
  double smooth_most_noise_K = 0;
  double smooth_most_step_K = 0;
  double smooth_span_K = 0;
  double spike_readings = 0;
  double steam_beside_step_K = 0;
  double steam_step_K = 0;
  double step_alone_interval_s = 0;
  double step_interval_s = 0;
  double step_shortest_s = 0;
  double stuck_moved_K = 0;
  double stuck_noise_readings = 0;
  double stuck_noise_steps = 0;
  double stuck_readings = 0;
  double stuck_s = 0;
  double stuck_slope_K = 0;
  double stuck_under_steam_K = 0;
  double unit_highest_degC = 0;
  double unit_over_vessel_K = 0;
  double unit_run_highest_degC = 0;
  double unit_run_lowest_degC = 0;
  double unit_start_highest_degC = 0;
  double unit_start_lowest_degC = 0;
  double frozen_within_K = 0;
  double frozen_over_steam_K = 0;
  bool operator==(const CheckLimits&) const = default;
};

/// Throws UserError with every fault: those of Table::read, a key that no check knows, a key that is missing,
/// a unit other than the one the check works in, a value that is not above 0 where it must be.
[[nodiscard]] CheckLimits read_check_limits(std::string_view source_name, std::string_view csv);
/// Those of probe-checks.csv.
[[nodiscard]] CheckLimits read_check_limits(const TableFiles& tables);

} // namespace coldbag
