// What a run will take: how long, how much steam, when to open; with the doubt that stands behind it.
#pragma once

#include "heatup/bag_body.h"
#include "heatup/fit.h"
#include "heatup/slowest_bag.h"
#include "quantity/print.h"
#include "quantity/said.h"
#include "sizing/vessel_run.h"
#include "tables/edition.h"

#include <optional>
#include <string>
#include <vector>

namespace coldbag {

/// Standard deviations of the logarithms of what was said of a vessel.
struct VesselDoubt {
  double supply = 0;
  double walls = 0;
  double metal = 0;
  bool operator==(const VesselDoubt&) const = default;
};

/// Bags of one kind in the load.
struct PlannedBags {
  std::string kind;
  DescribedBag bag;
  int count = 0;
  Fit before;           ///< what is known of the kind, error of its description included
  double spread_sd = 0; ///< of the logarithm of the speed of one bag
  bool keeps_condensate = false;
  int earlier_runs = 0; ///< of the farm, behind `before`
  int earlier_bags = 0;
};

/// Everything a plan rests on, resolved.
struct PlanInput {
  VesselBody vessel;
  SteamSupply supply;
  VesselDoubt doubt;
  std::vector<PlannedBags> bags; ///< at least one kind
  CoreNeed need;
  double open_degC = 80;
  double cool_degC = 30;
  double film_in_air_W_per_m2K = 10;
  std::optional<double>
      second_after_s; ///< a like vessel with a like load on the same supply, begun so much later
  double most_steam_s = 0;
};

/// Good: 5 of 100 such sites are there sooner. Slow: 5 of 100 take longer.
struct Range {
  double good = 0;
  double likely = 0;
  double slow = 0;
  bool operator==(const Range&) const = default;
};

/// What the heat went into, from steam-on up to a moment.
struct HeatShares {
  double supplied_J = 0;
  double bags_J = 0;
  double metal_J = 0;
  double standing_water_J = 0;
  double walls_J = 0;
  double space_J = 0;      ///< steam and air of the space
  double vented_J = 0;     ///< with the air, and through the vent later
  double condensate_J = 0; ///< run off or kept by open loads, above water at 0 C
};

struct PlanMoment {
  double time_s = 0;
  double vessel_degC = 0;
  double vessel_slow_degC = 0;
  double core_likely_degC = 0; ///< of the slowest bag
  double core_slow_degC = 0;
  double steam_kg_per_h = 0;
  double vented_kg_per_h = 0;
};

/// All times from steam-on at the vessel (a boiler's own warming stands apart).
struct Plan {
  std::size_t slowest = 0;   ///< kind that decides
  double boiler_ready_s = 0; ///< a cold boiler's own time to first steam
  Range come_up_s;
  Range boiling_s; ///< space at the local boiling point
  Range hot_s;     ///< slowest core at the setpoint: the hold may start
  Range enough_s;  ///< slowest core has what the treatment asks, as its probe would show it at the least
  double steam_off_s = 0;      ///< the slow end, rounded up to five minutes
  double alike_enough_s = 0;   ///< were every bag and figure as the tables say
  double margin = 1;           ///< steam_off_s over that
  double probed_saves_s = 0;   ///< off steam_off_s, were two bags of each kind probed once before
  double ln_sd = 0;            ///< of the time needed
  double slowest_depth_sd = 0; ///< how many spreads the slowest bag is taken under its kind, likely
  bool reaches_top = true;     ///< likely
  bool slow_reaches_top = true;
  bool boils_dry = false;         ///< likely or at the slow end: the other figures then mean nothing
  bool is_enough = true;          ///< slow end meets the need before most_steam_s
  std::optional<double> open_s;   ///< likely
  std::optional<double> cooled_s; ///< likely
  std::optional<double> open_slow_s;
  std::optional<double> cooled_slow_s;
  double credit_minutes = 0; ///< F after steam-off, likely
  double hot_after_s = 0;    ///< core stays at the setpoint after it, likely
  double F_minutes = 0;      ///< of the slowest core at steam-off, likely, as it is
  HeatShares to_top;         ///< likely
  HeatShares to_off;
  Range steam_kg;       ///< until steam-off; good: least
  double vented_kg = 0; ///< likely
  double condensate_kg = 0;
  double kept_kg = 0;
  double peak_demand_W = 0; ///< likely
  double hold_demand_W = 0;
  double most_vented_kg_per_s = 0;
  std::optional<double> second_enough_s; ///< of the second vessel, likely, from its own steam-on
  std::optional<double> first_delayed_s; ///< enough_s.likely of the first beside the second less alone
  double energy_residual_share = 0;
  double water_residual_share = 0;
  std::vector<PlanMoment> curve; ///< minute by minute; none in short
};

/// Slopes of the logarithm of the time needed are taken on a coarse grid; the slow and good ends are then
/// run whole, every unknown moved in proportion to what it weighs. One vessel with its slowest bag.
/// Rules and limits: docs/mathematics/sizing.md; guarded by tests/sizing/plan_test.cpp.
/// `in_short`: no cooling and no good end, for sweeps.
[[nodiscard]] Plan make_plan(const PlanInput& input, const VapourTable& vapour, bool in_short = false);

} // namespace coldbag
