// A whole run of a vessel reckoned beforehand: steam on, come-up, hold, steam off, cooling, door, room.
#pragma once

#include "sizing/core_need.h"
#include "sizing/heat_balance.h"

#include <optional>
#include <vector>

namespace coldbag {

/// When a run ends, and what follows.
struct RunRule {
  CoreNeed need;                       ///< of every watched core: steam goes off once all have met it
  std::vector<std::size_t> watched{0}; ///< those parts of the load, at least one
  std::optional<double> steam_off_s;   ///< else; then the need is only followed
  double most_steam_s = 0;             ///< given up after so long
  std::optional<double> open_degC; ///< door may open when the space is so cool; none: no cooling is reckoned
  double cool_degC = 30;           ///< warmest spot of the watched bags; then it is over
  double film_in_air_share = 1;    ///< film of a bag in the room over that in steam
};

struct VesselMoment {
  double time_s = 0;
  double degC = 0;
  double abs_pressure_Pa = 0;
  double steam_kg_per_s = 0;
  double vented_kg_per_s = 0;
  double demand_W = 0;
  std::vector<double> core_degC; ///< of each part
};

struct VesselRun {
  std::vector<VesselMoment> moments;
  std::optional<double>
      boiling_at_s; ///< space at the local boiling point: the air is out, a rated vessel is closed
  std::optional<double> top_at_s;    ///< come-up over
  std::optional<double> hot_at_s;    ///< last of the watched cores at the setpoint
  std::optional<double> enough_at_s; ///< last need met
  std::size_t last = 0;              ///< part whose need was met last, or that is furthest from it
  std::vector<std::optional<double>> enough_of_s; ///< of each watched part
  double steam_off_s = 0;
  std::optional<double> dry_at_s;    ///< no water was left in the vessel: the run ends there
  std::optional<double> open_at_s;   ///< none: not reckoned
  std::optional<double> cooled_at_s; ///< none: not reckoned, or over the longest that is
  double F_at_steam_off_minutes = 0; ///< of the last core as it is
  double F_after_minutes = 0;
  double hot_after_s = 0; ///< it stayed at the setpoint after steam off
  double most_demand_W = 0;
  double most_vented_kg_per_s = 0;
  BalanceSums at_top; ///< up to the end of the come-up
  BalanceSums at_steam_off;
  double hold_demand_W = 0;         ///< at the end of the hold
  double energy_residual_share = 0; ///< of what was supplied
  double water_residual_share = 0;
  double stored_residual_share = 0; ///< states against sums
};

/// Runs one vessel, or several on one supply; each begins at its own time. Throws nothing; a run that never
/// meets its need has none in enough_at_s. step_share: 1 the working step, 0.5 half of it.
struct VesselToRun {
  VesselBody vessel;
  std::vector<LoadPart> load;
  RunRule rule;
  double begins_s = 0;
};
[[nodiscard]] std::vector<VesselRun> run_vessels(const std::vector<VesselToRun>& vessels,
                                                 const SteamSupply& supply, const VapourTable& vapour,
                                                 double step_share = 1);

} // namespace coldbag
