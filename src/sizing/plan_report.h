// A plan with everything that its writers show: text, JSON, curves.
#pragma once

#include "sizing/plan_request.h"

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace coldbag {

/// Fuel or electricity that a run takes, as it is sold.
struct FuelUse {
  std::string name;
  std::string key;
  std::string unit; ///< of what is sold: "kWh", "kg", "L", "m3"
  double units = 0; ///< likely, cold boiler included
  double units_slow = 0;
  double units_per_bag = 0;   ///< likely
  std::optional<double> cost; ///< likely, in the money of the price
  std::optional<double> cost_per_bag;
};

/// One line of the day: what happens, when at the latest and likely.
struct PlanStep {
  std::string key; ///< of words: "size_step_top"
  std::optional<double> good_s;
  std::optional<double> likely_s;
  std::optional<double> slow_s;
  bool operator==(const PlanStep&) const = default;
};

struct PlanReport {
  ResolvedPlan resolved;
  Plan plan;
  std::string name;
  int bag_count = 0;
  double bags_kg = 0;
  std::vector<PlanStep> steps; ///< in order of time, from steam-on
  double heat_per_bag_J = 0;   ///< supplied, likely
  double water_kg = 0;         ///< for the steam of the slow end, standing water and boiler apart
  double water_with_reserve_kg = 0;
  double power_needed_W = 0;  ///< most that metal, bags and walls took at once, likely
  double power_at_hold_W = 0; ///< at its end
  std::optional<FuelUse> fuel;
  std::optional<double> current_A;         ///< of an electric supply, each line
  double door_to_door_s = 0;               ///< steam-on to cooled core, likely
  double bags_per_day = 0;                 ///< one load after the other, no pause between
  std::optional<std::int64_t> steam_on_us; ///< clock time since midnight
  UnitSystem units = UnitSystem::metric;
  std::vector<Said> assumptions;
  std::vector<Said> cautions;
  std::vector<Edition> editions;
  std::string program_version;
};

/// Resolves a request, plans it, and works out what is told beside it. `tables` must outlive it.
[[nodiscard]] PlanReport plan_report(const PlanRequest& request, const SizingTables& tables,
                                     bool in_short = false);

} // namespace coldbag
