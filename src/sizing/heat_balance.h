// A steam vessel and its bags in one balance: what the supply gives, what each part takes, how hot it gets.
#pragma once

#include "heatup/bag_steps.h"

#include <memory>
#include <optional>
#include <vector>

namespace coldbag {

enum class SupplyKind {
  boiler, ///< power makes steam apart from the vessel, out of feed water; condensate runs off
  rate,   ///< so much steam, whatever it costs to make
  within  ///< water boils in the vessel itself; condensate runs back to it
};

/// The steam that is to be had, shared by all vessels of a run.
struct SteamSupply {
  SupplyKind kind = SupplyKind::boiler;
  double power_W = 0;          ///< boiler and within: heat that reaches the water
  double rate_kg_per_s = 0;    ///< rate
  double feed_degC = 20;       ///< boiler: of the water fed to it
  double dryness = 1;          ///< share of the steam that is vapour, 0.5 to 1
  double first_steam_at_s = 0; ///< nothing before
  bool is_turned_down =
      false;                 ///< once hot it gives what is asked; else all of it, and the vent takes the rest
  double blown_kg_per_s = 0; ///< steam let through the vent on purpose while a vessel is at its top
};

/// What is heated beside the bags, and what heat is lost to.
struct VesselBody {
  double volume_m3 = 0; ///< of the steam space, bags taken off; 0: neither fill nor air is reckoned
  double metal_J_per_K = 0;
  double wall_W_per_K = 0;
  double air_degC = 20;     ///< around it
  double heel_kg = 0;       ///< water standing in it
  double purge_volumes = 0; ///< of steam that leave with the air
  double air_left = 0;      ///< share of the pressure that air keeps when hot, 0 to 0.5
  double site_pressure_Pa = 101325;
  double start_degC = 20;
  double top_degC = 100; ///< its hold temperature; at most where the steam can be
  bool is_rated = false; ///< closed from the boiling point on; else open all along
};

/// Equal bags of a load. Count 0: followed in the same steam, and no burden on it.
struct LoadPart {
  BagBody body;
  Multipliers multipliers;
  double count = 0;
  double start_degC = 20;
  bool keeps_condensate = false; ///< open baskets, straw: what condenses on them stays
  std::optional<Fineness> fineness;
};

/// Sums since the start. Energy from liquid water at 0 C on.
struct BalanceSums {
  double supplied_J = 0;
  double supplied_kg = 0;
  double bags_J = 0;  ///< through their surfaces, less what flashed from them
  double metal_J = 0; ///< stored
  double heel_J = 0;  ///< stored, change of the standing water's enthalpy
  double space_J = 0; ///< stored in steam and air of the space, and carried off by the air
  double walls_J = 0; ///< lost
  double purged_J = 0, purged_kg = 0;
  double vented_J = 0, vented_kg = 0;
  double condensate_J = 0, condensate_kg = 0; ///< to the drain
  double kept_J = 0, kept_kg = 0;             ///< by open loads
  double fill_kg = 0;                         ///< steam in the space, change
  double heel_kg = 0;                         ///< change
  /// Supplied less all the others: rounding alone.
  [[nodiscard]] double energy_residual_J() const;
  [[nodiscard]] double water_residual_kg() const;
};

/// One vessel with its load, moved on step by step. Implicit: bags and walls see the step's beginning and
/// end, the end weighing more, and the temperature there is the one at which every part wants what the others
/// give. docs/mathematics/sizing.md has the equations; guarded by tests/sizing/heat_balance_test.cpp.
class VesselSteps {
 public:
  /// The vapour table must outlive it. Checked: a top over the start, shares within their ranges.
  VesselSteps(const VesselBody& vessel, const std::vector<LoadPart>& load, const VapourTable& vapour);

  struct Step {
    double dt_s = 0;
    double share = 1;  ///< of the supply that this vessel may have
    bool is_on = true; ///< steam valve open
  };
  struct Tried {
    double top_share =
        0; ///< of the supply that would be used to be at its top; above `share` where it is not reached
    double bend_share = 0; ///< of the worst bag; over 1: the step is too long
    double rise_K = 0;
    bool is_at_top = false;
    double arrives_at_share = 1; ///< of the step: when it got there, where it was below
  };
  /// Settles temperature and flows of a step; nothing is kept yet.
  Tried try_step(const SteamSupply& supply, const Step& step);
  void keep_step();

  [[nodiscard]] double time_s() const;
  [[nodiscard]] double degC() const;
  [[nodiscard]] double abs_pressure_Pa() const;
  /// Of the last step kept: steam taken from the supply, and let out by the vent, kg/s.
  [[nodiscard]] double steam_kg_per_s() const;
  [[nodiscard]] double vented_kg_per_s() const;
  [[nodiscard]] double demand_W() const; ///< heat that bags, metal, walls and standing water took
  [[nodiscard]] const BalanceSums& sums() const;
  [[nodiscard]] BagMoment bag(std::size_t part) const;
  [[nodiscard]] double hottest_degC(std::size_t part) const;
  [[nodiscard]] double standing_water_kg() const; ///< under 0: it boiled dry within the last step
  /// Energy stored now less that at the start, from the states and not from the sums: bags, metal, heel.
  [[nodiscard]] double stored_J() const;
  /// From here on bags stand in the open air of the room, with another film.
  void open_door(double film_multiplier);

  VesselSteps(VesselSteps&&) noexcept;
  VesselSteps& operator=(VesselSteps&&) noexcept;
  VesselSteps(const VesselSteps&) = delete;
  VesselSteps& operator=(const VesselSteps&) = delete;
  ~VesselSteps();

 private:
  class Machine;
  std::unique_ptr<Machine> machine_;
};

} // namespace coldbag
