// The figures that cautions rest on: limits, times to a burn, limits of film, frequency of lifting.
#pragma once

#include "tables/edition.h"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace coldbag {

/// caution-limits.csv, in the units inside the program. What each rests on stands in the table.
struct CautionLimits {
  double air_short_K = 0, air_short_held_s = 0, air_watched_from_Pa = 0;
  double carbon_monoxide_8h = 0, carbon_monoxide_ceiling = 0; ///< parts of one
  double oxygen_low = 0, oxygen_high = 0;                     ///< parts of one
  double cooled_degC = 0;
  double disagreement_K = 0, disagreement_held_s = 0, disagreement_watched_within_K = 0;
  double event_reach_s = 0;
  double gauge_at_zero_Pa = 0;
  double held_s = 0;
  double lift_index = 0, lift_index_high = 0;
  double low_water_test_every_s = 0, safety_valve_test_every_s = 0;
  double opening_fall_K = 0, opening_fall_within_s = 0;
  double over_boiling_K = 0;
  double pressure_fall_in_a_minute_Pa = 0;
  double rating_near = 0; ///< part of the rating
  double reading_highest_degC = 0, reading_lowest_degC = 0;
  double silence_s = 0;
  double statement_apart_s = 0;
  double steam_when_opening_degC = 0;
  double surface_degC = 0, surface_held_s = 0, surface_at_once_degC = 0;
  double unloading_degC = 0;
  double unseen_hold = 0; ///< part of a hold
  double unseen_step_s = 0;
  double vacuum_Pa = 0;
  bool operator==(const CautionLimits&) const = default;
};

/// One row of burns.csv: skin held at a temperature.
struct BurnTime {
  double at_degC = 0;
  std::optional<double> second_degree_s;
  std::optional<double> third_degree_s;
  bool operator==(const BurnTime&) const = default;
};

struct Film {
  std::string key;
  double loaded_highest_degC = 0;
  bool operator==(const Film&) const = default;
};

/// One row of lift-frequency.csv: the frequency multiplier by how long the work goes on.
struct LiftFrequency {
  double lifts_per_minute = 0;
  double to_1_h = 0, to_2_h = 0, to_8_h = 0;
  bool operator==(const LiftFrequency&) const = default;
};

struct CautionTables {
  CautionLimits limits;
  std::vector<BurnTime> burns;                 ///< coldest first
  std::vector<Film> films;                     ///< in file order
  std::vector<LiftFrequency> lift_frequencies; ///< rarest first
  bool operator==(const CautionTables&) const = default;
};

/// Reads the four tables. Throws UserError with every fault, a limit that is missing among them.
[[nodiscard]] CautionTables read_caution_tables(const TableFiles& tables);

/// Time until a burn of third degree (second degree where the table has no third), s, of skin held at this
/// temperature: straight in the logarithm between the rows, the last row's time above them, nothing below the
/// first. Guarded by tests/published/safety_test.cpp.
[[nodiscard]] std::optional<double> time_to_deep_burn_s(const std::vector<BurnTime>& burns, double at_degC);
/// The same for a burn of second degree; nothing above the last row that has one.
[[nodiscard]] std::optional<double> time_to_burn_s(const std::vector<BurnTime>& burns, double at_degC);

[[nodiscard]] const Film* find_film(const std::vector<Film>& films, std::string_view key);

} // namespace coldbag
