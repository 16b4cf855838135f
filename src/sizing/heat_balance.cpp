#include "sizing/heat_balance.h"

#include "errors/our_fault.h"
#include "sizing/steam_table.h"
#include "steam/saturation.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace coldbag {

namespace {

constexpr double air_J_per_kgK = 1005;          ///< dry air at constant pressure, from memory
constexpr double air_gas_J_per_kgK = 287.05287; ///< ISO 2533:1975
constexpr double kelvin_at_0_degC = 273.15;
constexpr double end_weight =
    0.53; ///< of the step's end in what bags and walls see: over a half nothing rings
constexpr double settled_K = 2e-3;   ///< bags and vessel agree on the temperature to this
constexpr double balanced_K = 1e-10; ///< and the balance closes to this
constexpr int most_turns = 40;
constexpr int most_balance_turns = 200;
constexpr double lowest_balance_degC = -60;
constexpr double highest_balance_degC = 195;
constexpr double coldest_degC = 0.01;

double least(double degC) {
  return std::max(degC, coldest_degC);
}

/// What the space holds at one temperature.
struct Space {
  double abs_pressure_Pa = 0;
  double steam_kg = 0;
  double air_kg = 0;
};

/// A settled step, kept or not.
struct Flows {
  double degC = 0;
  double abs_pressure_Pa = 0;
  double dt_s = 0;
  double air_out = 0; ///< largest share of the first air that has left
  BalanceSums change;
};

} // namespace

double BalanceSums::energy_residual_J() const {
  return supplied_J - bags_J - metal_J - heel_J - space_J - walls_J - purged_J - vented_J - condensate_J -
         kept_J;
}

double BalanceSums::water_residual_kg() const {
  return supplied_kg - purged_kg - vented_kg - condensate_kg - kept_kg - fill_kg - heel_kg;
}

class VesselSteps::Machine {
 public:
  Machine(const VesselBody& vessel, std::vector<LoadPart> load, const VapourTable& vapour)
      : vessel_(vessel), load_(std::move(load)), degC_(vessel.start_degC), heel_kg_(vessel.heel_kg),
        first_air_(air_moles(vessel.start_degC)) {
    our_check(vessel.top_degC > vessel.start_degC, "a vessel is steamed to more than it starts with");
    our_check(vessel.air_left >= 0 && vessel.air_left <= 0.5, "air keeps a share of the pressure");
    for (const LoadPart& part : load_) {
      bags_.emplace_back(
          part.body, part.multipliers, vapour,
          BagStart{.at_s = 0, .degC = part.start_degC, .probe_off_m = 0, .fineness = part.fineness});
      held_at_start_J_ += part.count * bags_.back().held_J();
    }
    abs_pressure_Pa_ = space_at(degC_).abs_pressure_Pa;
  }

  Tried try_step(const SteamSupply& supply, const Step& step) {
    supply_ = &supply;
    step_ = step;
    flows_ = {};
    if (is_open_) return cool_in_room();
    const bool has_steam = step.is_on && step.share > 0;
    const double top = vessel_.top_degC;
    const double ahead_degC = degC_ + slope_K_per_s_ * step.dt_s;
    std::optional<double> needed;
    if (has_steam && (is_at_top_ || ahead_degC >= top)) {
      if (const auto tried = try_at_top()) return *tried;
      needed = needed_share_;
    }
    settle(std::min(ahead_degC, has_steam ? top : ahead_degC));
    // What was settled is over the top: then it is there, whatever the last thousandth of a kelvin says.
    if (has_steam && flows_.degC > top)
      if (const auto tried = try_at_top(true)) return *tried;
    Tried out = tried();
    out.top_share = std::max(step.share, needed.value_or(step.share)) * (1 + 1e-9);
    return out;
  }

  void keep_step() {
    for (BagSteps& bag : bags_)
      bag.keep_step();
    const BalanceSums& c = flows_.change;
    sums_.supplied_J += c.supplied_J;
    sums_.supplied_kg += c.supplied_kg;
    sums_.bags_J += c.bags_J;
    sums_.metal_J += c.metal_J;
    sums_.heel_J += c.heel_J;
    sums_.space_J += c.space_J;
    sums_.walls_J += c.walls_J;
    sums_.purged_J += c.purged_J;
    sums_.purged_kg += c.purged_kg;
    sums_.vented_J += c.vented_J;
    sums_.vented_kg += c.vented_kg;
    sums_.condensate_J += c.condensate_J;
    sums_.condensate_kg += c.condensate_kg;
    sums_.kept_J += c.kept_J;
    sums_.kept_kg += c.kept_kg;
    sums_.fill_kg += c.fill_kg;
    sums_.heel_kg += c.heel_kg;
    heel_kg_ += c.heel_kg;
    slope_K_per_s_ = (flows_.degC - degC_) / flows_.dt_s;
    is_at_top_ = will_be_at_top_;
    degC_ = flows_.degC;
    abs_pressure_Pa_ = flows_.abs_pressure_Pa;
    air_out_ = flows_.air_out;
    time_s_ += flows_.dt_s;
    last_ = flows_;
  }

  [[nodiscard]] double stored_J() const {
    double bags_J = -held_at_start_J_;
    for (std::size_t i = 0; i < bags_.size(); ++i)
      bags_J += load_[i].count * bags_[i].held_J();
    return bags_J + vessel_.metal_J_per_K * (degC_ - vessel_.start_degC) +
           heel_kg_ * saturated(degC_).water_J_per_kg -
           vessel_.heel_kg * saturated(vessel_.start_degC).water_J_per_kg;
  }

  void open_door(double film_multiplier) {
    is_open_ = true;
    for (BagSteps& bag : bags_)
      bag.set_film(film_multiplier);
  }

  [[nodiscard]] double standing_water_kg() const { return heel_kg_; }

  double time_s_ = 0;
  double abs_pressure_Pa_ = 0;
  BalanceSums sums_;
  Flows last_;
  std::vector<BagSteps> bags_;
  [[nodiscard]] double degC() const { return is_open_ ? vessel_.air_degC : degC_; }

 private:
  /// Air of the space, up to a factor: volume shares at the pressure there.
  [[nodiscard]] double air_moles(double degC) const {
    const double own_Pa = pressure_Pa(degC) - saturation_pressure_Pa(least(degC));
    return std::max(own_Pa, 0.0) / (degC + kelvin_at_0_degC);
  }
  [[nodiscard]] double pressure_Pa(double degC) const {
    if (!vessel_.is_rated) return vessel_.site_pressure_Pa;
    return std::max(vessel_.site_pressure_Pa, saturation_pressure_Pa(least(degC)) / (1 - vessel_.air_left));
  }
  [[nodiscard]] Space space_at(double degC) const {
    return {pressure_Pa(degC), vessel_.volume_m3 * saturated(degC).steam_kg_per_m3,
            vessel_.volume_m3 * air_moles(degC) / air_gas_J_per_kgK};
  }

  /// Bags over the step, were the vessel to end it at so much.
  void heat_bags(double end_degC) {
    const double end_Pa = pressure_Pa(end_degC);
    const SteamPoint mean{0, degC_ + end_weight * (end_degC - degC_),
                          abs_pressure_Pa_ + end_weight * (end_Pa - abs_pressure_Pa_)};
    bags_J_ = kept_heat_J_ = bend_share_ = 0;
    for (std::size_t i = 0; i < bags_.size(); ++i) {
      const BagSteps::Tried tried = bags_[i].try_step(step_.dt_s, mean, end_Pa);
      const double taken_J = load_[i].count * (tried.heat_J - tried.flashed_J);
      bags_J_ += taken_J;
      if (load_[i].keeps_condensate) kept_heat_J_ += taken_J;
      bend_share_ = std::max(bend_share_, tried.bend_share);
    }
  }

  /// Heat asked of the supply's steam to end the step at so much, the bags' as last found. All that leaves
  /// does so as hot as the step ends.
  double demand_J(double end_degC, double vented_kg) {
    const Saturated before = saturated(degC_);
    const Saturated after = saturated(end_degC);
    const Space was = space_at(degC_);
    const Space is = space_at(end_degC);
    BalanceSums& c = flows_.change;
    c = {};
    flows_.degC = end_degC;
    flows_.abs_pressure_Pa = is.abs_pressure_Pa;
    flows_.dt_s = step_.dt_s;
    const double rise_K = end_degC - degC_;
    c.bags_J = bags_J_;
    c.metal_J = vessel_.metal_J_per_K * rise_K;
    c.walls_J = vessel_.wall_W_per_K * (degC_ + end_weight * rise_K - vessel_.air_degC) * step_.dt_s;
    c.fill_kg = is.steam_kg - was.steam_kg;
    const double air_J = was.air_kg * air_J_per_kgK * rise_K + std::max(is.air_kg - was.air_kg, 0.0) *
                                                                   air_J_per_kgK *
                                                                   (end_degC - vessel_.air_degC);
    c.space_J = is.steam_kg * after.steam_J_per_kg - was.steam_kg * before.steam_J_per_kg + air_J -
                vessel_.volume_m3 * (is.abs_pressure_Pa - was.abs_pressure_Pa);
    flows_.air_out = air_out_;
    if (vessel_.volume_m3 > 0 && first_air_ > 0)
      flows_.air_out = std::max(air_out_, 1 - air_moles(end_degC) / first_air_);
    c.purged_kg = vessel_.purge_volumes * vessel_.volume_m3 * saturated(boiling_degC()).steam_kg_per_m3 *
                  (flows_.air_out - air_out_);
    c.purged_J = c.purged_kg * after.steam_J_per_kg;
    c.vented_kg = vented_kg;
    c.vented_J = vented_kg * after.steam_J_per_kg;
    c.kept_kg = kept_heat_J_ / after.latent_J_per_kg();
    c.kept_J = c.kept_kg * after.water_J_per_kg;
    const double gone_kg = c.fill_kg + c.purged_kg + c.vented_kg + c.kept_kg;
    if (supply_->kind == SupplyKind::within) {
      c.heel_kg = -gone_kg;
      c.heel_J = (heel_kg_ + c.heel_kg) * after.water_J_per_kg - heel_kg_ * before.water_J_per_kg;
    } else {
      c.heel_J = heel_kg_ * (after.water_J_per_kg - before.water_J_per_kg);
    }
    const double all_J =
        c.bags_J + c.metal_J + c.heel_J + c.space_J + c.walls_J + c.purged_J + c.vented_J + c.kept_J;
    // Apart from a boiler within, what leaves as water or steam came as steam and its liquid heat with it.
    return supply_->kind == SupplyKind::within ? all_J : all_J - gone_kg * after.water_J_per_kg;
  }

  /// Heat that the whole supply's steam gives over the step where it condenses at so much.
  [[nodiscard]] double supply_J(double end_degC) const {
    if (!step_.is_on) return 0;
    const Saturated after = saturated(end_degC);
    switch (supply_->kind) {
    case SupplyKind::within:
      return supply_->power_W * step_.dt_s;
    case SupplyKind::rate:
      return supply_->rate_kg_per_s * step_.dt_s * supply_->dryness * after.latent_J_per_kg();
    default:
      return supply_->power_W * step_.dt_s * supply_->dryness * after.latent_J_per_kg() /
             steam_J_per_kg(after);
    }
  }
  /// To make a kilogram of the boiler's steam.
  [[nodiscard]] double steam_J_per_kg(const Saturated& at) const {
    return at.water_J_per_kg + supply_->dryness * at.latent_J_per_kg() -
           saturated(supply_->feed_degC).water_J_per_kg;
  }

  /// Books what was supplied and what ran off, so that the heat of the demand is there.
  void book(double heat_J) {
    BalanceSums& c = flows_.change;
    if (supply_->kind == SupplyKind::within) {
      c.supplied_J = heat_J;
      return;
    }
    const Saturated after = saturated(flows_.degC);
    c.supplied_kg = heat_J / (supply_->dryness * after.latent_J_per_kg());
    c.supplied_J = c.supplied_kg * (after.water_J_per_kg + supply_->dryness * after.latent_J_per_kg());
    c.condensate_kg = c.supplied_kg - c.fill_kg - c.purged_kg - c.vented_kg - c.kept_kg;
    c.condensate_J = c.condensate_kg * after.water_J_per_kg;
  }

  [[nodiscard]] double boiling_degC() const { return saturation_temperature_degC(vessel_.site_pressure_Pa); }

  [[nodiscard]] double supply_share_J(double end_degC) const { return step_.share * supply_J(end_degC); }

  /// At its top by the end of the step, where the supply suffices, or is known to.
  std::optional<Tried> try_at_top(bool suffices = false) {
    const double top = vessel_.top_degC;
    heat_bags(top);
    const double blown_kg = supply_->blown_kg_per_s * step_.dt_s;
    const double asked_J = demand_J(top, blown_kg);
    const double whole_J = supply_J(top);
    needed_share_ = asked_J / whole_J;
    if (!suffices && needed_share_ > step_.share) return std::nullopt;
    will_be_at_top_ = true;
    // An open vessel on a boiler that is not turned down blows off what it does not need; one that its bags
    // keep hot by themselves blows off that.
    const bool blows = !supply_->is_turned_down && !vessel_.is_rated;
    const double given_J = std::max(asked_J, blows ? step_.share * whole_J : 0.0);
    if (given_J > asked_J) demand_J(top, blown_kg + (given_J - asked_J) / saturated(top).latent_J_per_kg());
    book(given_J);
    Tried out = tried();
    out.top_share = std::max(needed_share_, 0.0);
    out.is_at_top = true;
    out.arrives_at_share = is_at_top_ ? 0 : std::clamp(needed_share_ / step_.share, 0.0, 1.0);
    return out;
  }

  /// Temperature at which the balance closes, the bags' heat as last found: the hotter, the more is asked.
  /// Secants, kept within what is known to be too cold and too hot; where the vessel closes there is a kink.
  double balanced_degC(double guess_degC) {
    double too_cold = lowest_balance_degC;
    double too_hot = highest_balance_degC;
    double a = std::clamp(guess_degC, too_cold, too_hot);
    double fa = supply_share_J(a) - demand_J(a, 0);
    double b = std::clamp(a + (fa > 0 ? 0.5 : -0.5), too_cold, too_hot);
    for (int turn = 0; turn < most_balance_turns; ++turn) {
      const double fb = supply_share_J(b) - demand_J(b, 0);
      (fb > 0 ? too_cold : too_hot) = b;
      double next = fb == fa ? b : b - fb * (b - a) / (fb - fa);
      // Where secants crawl, halve.
      if (!(next > too_cold && next < too_hot) || turn % 8 == 7) next = (too_cold + too_hot) / 2;
      a = b;
      fa = fb;
      b = next;
      if (std::abs(b - a) < balanced_K || too_hot - too_cold < balanced_K) break;
    }
    return b;
  }

  /// Bags and vessel in one: the temperature at which each wants what the other gives. The hotter the bags
  /// find the steam, the colder they leave it, so there is one.
  void settle(double guess_degC) {
    will_be_at_top_ = false;
    double a = guess_degC;
    heat_bags(a);
    double left = balanced_degC(a);
    double fa = left - a;
    double b = bags_.empty() ? left : a + fa / 2;
    for (int turn = 0; turn < most_turns && std::abs(fa) > settled_K; ++turn) {
      heat_bags(b);
      left = balanced_degC(left);
      const double fb = left - b;
      if (std::abs(fb) <= settled_K || fb == fa) break;
      const double next = b - fb * (b - a) / (fb - fa);
      a = b;
      fa = fb;
      b = std::clamp(next, std::min(b, left) - 5, std::max(b, left) + 5);
    }
    demand_J(left, 0);
    book(supply_share_J(left));
    flows_.degC = left;
  }

  [[nodiscard]] Tried tried() const {
    Tried out;
    out.bend_share = bend_share_;
    out.rise_K = flows_.degC - degC_;
    return out;
  }

  /// Out of the vessel: air of the room around bags.
  Tried cool_in_room() {
    const SteamPoint air{0, vessel_.air_degC, vessel_.site_pressure_Pa};
    bend_share_ = 0;
    for (BagSteps& bag : bags_)
      bend_share_ = std::max(bend_share_, bag.try_step(step_.dt_s, air, air.abs_pressure_Pa).bend_share);
    flows_.degC = degC_;
    flows_.abs_pressure_Pa = vessel_.site_pressure_Pa;
    flows_.dt_s = step_.dt_s;
    flows_.air_out = air_out_;
    return tried();
  }

  VesselBody vessel_;
  std::vector<LoadPart> load_;
  const SteamSupply* supply_ = nullptr;
  Step step_;
  Flows flows_;
  double degC_;
  double heel_kg_;
  double held_at_start_J_ = 0;
  double first_air_;
  double air_out_ = 0;
  double slope_K_per_s_ = 0;
  double bags_J_ = 0, kept_heat_J_ = 0, bend_share_ = 0, needed_share_ = 0;
  bool is_at_top_ = false, will_be_at_top_ = false, is_open_ = false;
};

VesselSteps::VesselSteps(const VesselBody& vessel, const std::vector<LoadPart>& load,
                         const VapourTable& vapour)
    : machine_(std::make_unique<Machine>(vessel, load, vapour)) {}
VesselSteps::VesselSteps(VesselSteps&&) noexcept = default;
VesselSteps& VesselSteps::operator=(VesselSteps&&) noexcept = default;
VesselSteps::~VesselSteps() = default;

VesselSteps::Tried VesselSteps::try_step(const SteamSupply& supply, const Step& step) {
  return machine_->try_step(supply, step);
}
void VesselSteps::keep_step() {
  machine_->keep_step();
}
double VesselSteps::time_s() const {
  return machine_->time_s_;
}
double VesselSteps::degC() const {
  return machine_->degC();
}
double VesselSteps::abs_pressure_Pa() const {
  return machine_->abs_pressure_Pa_;
}
double VesselSteps::steam_kg_per_s() const {
  const Flows& last = machine_->last_;
  return last.dt_s > 0 ? last.change.supplied_kg / last.dt_s : 0;
}
double VesselSteps::vented_kg_per_s() const {
  const Flows& last = machine_->last_;
  return last.dt_s > 0 ? (last.change.vented_kg + last.change.purged_kg) / last.dt_s : 0;
}
double VesselSteps::demand_W() const {
  const Flows& last = machine_->last_;
  const BalanceSums& c = last.change;
  return last.dt_s > 0 ? (c.bags_J + c.metal_J + c.walls_J + c.heel_J) / last.dt_s : 0;
}
const BalanceSums& VesselSteps::sums() const {
  return machine_->sums_;
}
BagMoment VesselSteps::bag(std::size_t part) const {
  return machine_->bags_.at(part).moment();
}
double VesselSteps::hottest_degC(std::size_t part) const {
  return machine_->bags_.at(part).hottest_degC();
}
double VesselSteps::standing_water_kg() const {
  return machine_->standing_water_kg();
}
double VesselSteps::stored_J() const {
  return machine_->stored_J();
}
void VesselSteps::open_door(double film_multiplier) {
  machine_->open_door(film_multiplier);
}

} // namespace coldbag
