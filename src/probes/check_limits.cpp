#include "probes/check_limits.h"

#include "errors/user_error.h"
#include "tables/basis_words.h"
#include "tables/table.h"

#include <algorithm>
#include <array>
#include <set>
#include <string>
#include <utility>
#include <vector>

namespace coldbag {

namespace {

constexpr std::string_view table_name = "probe-checks.csv";

constexpr std::array rules{
    ColumnRule{.name = "key", .required = true},
    ColumnRule{.name = "value", .kind = CellKind::number, .required = true, .lowest = -300, .highest = 1e6},
    ColumnRule{.name = "unit", .required = true},
    ColumnRule{.name = "note"},
    ColumnRule{.name = "source"},
    ColumnRule{.name = "locator"},
    ColumnRule{.name = "basis", .kind = CellKind::choice, .required = true, .choices = basis_words},
};

struct Limit {
  std::string_view key;
  std::string_view unit;
  double CheckLimits::*member;
};

constexpr std::array limits{
    Limit{"bag_step", "K", &CheckLimits::bag_step_K},
    Limit{"bag_steepest", "K/min", &CheckLimits::bag_steepest_K_per_min},
    Limit{"behind", "K", &CheckLimits::behind_K},
    Limit{"boiling_band", "K", &CheckLimits::boiling_band_K},
    Limit{"boiling_flat_within", "K", &CheckLimits::boiling_flat_within_K},
    Limit{"boiling_flat", "s", &CheckLimits::boiling_flat_s},
    Limit{"boiling_over", "K", &CheckLimits::boiling_over_K},
    Limit{"ceiling_step", "K", &CheckLimits::ceiling_step_K},
    Limit{"copied_changes", "1", &CheckLimits::copied_changes},
    Limit{"copied_readings", "1", &CheckLimits::copied_readings},
    Limit{"copied_span", "K", &CheckLimits::copied_span_K},
    Limit{"drift", "K", &CheckLimits::drift_K},
    Limit{"drift_rest", "s", &CheckLimits::drift_rest_s},
    Limit{"drift_settled_within", "K", &CheckLimits::drift_settled_within_K},
    Limit{"drift_settled", "s", &CheckLimits::drift_settled_s},
    Limit{"drift_without_rest", "K", &CheckLimits::drift_without_rest_K},
    Limit{"dropout_readings", "1", &CheckLimits::dropout_readings},
    Limit{"dropout", "s", &CheckLimits::dropout_s},
    Limit{"exchanged_lead", "s", &CheckLimits::exchanged_lead_s},
    Limit{"far_behind_ratio", "1", &CheckLimits::far_behind_ratio},
    Limit{"far_behind", "s", &CheckLimits::far_behind_s},
    Limit{"highest", "degC", &CheckLimits::highest_degC},
    Limit{"in_bag_lag", "s", &CheckLimits::in_bag_lag_s},
    Limit{"in_bag_rise", "K", &CheckLimits::in_bag_rise_K},
    Limit{"lowest", "degC", &CheckLimits::lowest_degC},
    Limit{"pulled_out_fall", "K", &CheckLimits::pulled_out_fall_K},
    Limit{"pulled_out_like", "K", &CheckLimits::pulled_out_like_K},
    Limit{"room_highest", "degC", &CheckLimits::room_highest_degC},
    Limit{"saturation_over", "K", &CheckLimits::saturation_over_K},
    Limit{"saturation", "s", &CheckLimits::saturation_s},
    Limit{"saturation_steady", "kPa", &CheckLimits::saturation_steady_kPa},
    Limit{"smooth_least_readings", "1", &CheckLimits::smooth_least_readings},
    Limit{"smooth_most_noise", "K", &CheckLimits::smooth_most_noise_K},
    Limit{"smooth_most_step", "K", &CheckLimits::smooth_most_step_K},
    Limit{"smooth_span", "K", &CheckLimits::smooth_span_K},
    Limit{"spike_readings", "1", &CheckLimits::spike_readings},
    Limit{"steam_beside_step", "K", &CheckLimits::steam_beside_step_K},
    Limit{"steam_step", "K", &CheckLimits::steam_step_K},
    Limit{"step_alone_interval", "s", &CheckLimits::step_alone_interval_s},
    Limit{"step_interval", "s", &CheckLimits::step_interval_s},
    Limit{"step_shortest", "s", &CheckLimits::step_shortest_s},
    Limit{"stuck_moved", "K", &CheckLimits::stuck_moved_K},
    Limit{"stuck_noise_readings", "1", &CheckLimits::stuck_noise_readings},
    Limit{"stuck_noise_steps", "1", &CheckLimits::stuck_noise_steps},
    Limit{"stuck_readings", "1", &CheckLimits::stuck_readings},
    Limit{"stuck", "s", &CheckLimits::stuck_s},
    Limit{"stuck_slope", "K", &CheckLimits::stuck_slope_K},
    Limit{"stuck_under_steam", "K", &CheckLimits::stuck_under_steam_K},
    Limit{"unit_highest", "degC", &CheckLimits::unit_highest_degC},
    Limit{"unit_over_vessel", "K", &CheckLimits::unit_over_vessel_K},
    Limit{"unit_run_highest", "degC", &CheckLimits::unit_run_highest_degC},
    Limit{"unit_run_lowest", "degC", &CheckLimits::unit_run_lowest_degC},
    Limit{"unit_start_highest", "degC", &CheckLimits::unit_start_highest_degC},
    Limit{"unit_start_lowest", "degC", &CheckLimits::unit_start_lowest_degC},
    Limit{"frozen_within", "K", &CheckLimits::frozen_within_K},
    Limit{"frozen_over_steam", "K", &CheckLimits::frozen_over_steam_K},
};

// A temperature may lie below zero, a length or a ratio not.
bool may_be_negative(const Limit& limit) {
  return limit.unit == "degC";
}

} // namespace

CheckLimits read_check_limits(std::string_view source_name, std::string_view csv) {
  const Table table = Table::read(source_name, csv, rules);
  CheckLimits read;
  std::vector<Complaint> complaints;
  std::set<std::string, std::less<>> seen;
  for (const TableRow& row : table.rows()) {
    const auto* limit = std::ranges::find(limits, row.key(), &Limit::key);
    if (limit == limits.end()) {
      complaints.push_back({Trouble::bad_data, row.place_of("key"),
                            "no check has a limit \"" + row.key() + "\"",
                            "allowed keys are those of the built-in table"});
      continue;
    }
    seen.insert(row.key());
    read.*(limit->member) = row.required_number("value");
    if (row.text("unit") != limit->unit)
      complaints.push_back({Trouble::bad_data, row.place_of("unit"),
                            "\"" + row.text("unit") + "\" is not the unit of " + row.key(),
                            "write the value in " + std::string(limit->unit)});
    if (read.*(limit->member) <= 0 && !may_be_negative(*limit))
      complaints.push_back({Trouble::bad_data, row.place_of("value"), row.text("value") + " is not above 0",
                            "allowed is a number above 0"});
  }
  for (const Limit& limit : limits)
    if (!seen.contains(limit.key))
      complaints.push_back({Trouble::bad_data,
                            {std::string(source_name), 0, 0, ""},
                            "the limit " + std::string(limit.key) + " is missing",
                            "copy its row from the built-in table"});
  if (!complaints.empty()) throw UserError(std::move(complaints));
  return read;
}

CheckLimits read_check_limits(const TableFiles& tables) {
  return read_check_limits(tables.source_name(table_name), tables.bytes(table_name));
}

} // namespace coldbag
