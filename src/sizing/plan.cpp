#include "sizing/plan.h"

#include "errors/our_fault.h"
#include "sizing/slowest_of_many.h"

#include <tbb/parallel_for.h>
#include <tbb/parallel_invoke.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

namespace coldbag {

namespace {

constexpr double one_sided_95 = 1.645;
constexpr double s_per_5_minutes = 300;
constexpr double slope_step = 0.1;        ///< in a logarithm
constexpr Fineness coarse{4, 4.0, 1200};  ///< slopes, and plans in short
constexpr Fineness of_load{5, 1.2, 1200}; ///< whose heat counts, not its core
constexpr Fineness of_slowest_in_short{5, 2.4, 1200};
constexpr Fineness of_slowest{6, 1.2, 1200}; ///< within 0.05 % of the working grid in the time needed
constexpr double probed_again_ln_sd =
    0.03; ///< what a fit of two bags leaves of a kind's speed, beside their spread

/// What moves a run away from what was said.
struct Moved {
  double supply_ln = 0;
  double walls_ln = 0;
  double metal_ln = 0;
  std::vector<UnknownVector> kinds_ln; ///< beside the mean of each kind; empty: none
  std::vector<double> slowest_ln;      ///< speed of the slowest bag beside its kind; empty: none
};

double dot(const UnknownVector& a, const UnknownVector& b) {
  double sum = 0;
  for (std::size_t i = 0; i < unknown_count; ++i)
    sum += a[i] * b[i];
  return sum;
}

UnknownVector times(const UnknownMatrix& m, const UnknownVector& v) {
  UnknownVector out{};
  for (std::size_t i = 0; i < unknown_count; ++i)
    for (std::size_t j = 0; j < unknown_count; ++j)
      out[i] += m[i][j] * v[j];
  return out;
}

/// Finds the moments beside a time; times rise from call to call.
class MomentFinder {
 public:
  explicit MomentFinder(const std::vector<VesselMoment>& moments) : moments_(moments) {}
  struct Beside {
    const VesselMoment& before;
    const VesselMoment& after;
    double share;
  };
  Beside at(double time_s) {
    while (i_ + 2 < moments_.size() && moments_[i_ + 1].time_s < time_s)
      ++i_;
    const VesselMoment& a = moments_[i_];
    const VesselMoment& b = moments_[std::min(i_ + 1, moments_.size() - 1)];
    const double share =
        b.time_s > a.time_s ? std::clamp((time_s - a.time_s) / (b.time_s - a.time_s), 0.0, 1.0) : 0;
    return {a, b, share};
  }

 private:
  const std::vector<VesselMoment>& moments_;
  std::size_t i_ = 0;
};

class Planner {
 public:
  Planner(const PlanInput& input, const VapourTable& vapour, bool in_short)
      : input_(input), vapour_(vapour), in_short_(in_short) {
    our_check(!input.bags.empty(), "a plan has bags");
    for (const PlannedBags& bags : input.bags)
      lowest_.push_back(lowest_of(std::max(bags.count, 1)));
  }

  Plan plan() {
    find_slopes();
    tell_slow();
    if (in_short_)
      tell_likely();
    else
      tbb::parallel_invoke([this] { tell_likely(); }, [this] { run_good(); });
    if (!in_short_) tell_good();
    if (input_.second_after_s) tell_second();
    return std::move(out_);
  }

 private:
  /// A run as it may be asked.
  struct Asked {
    bool cools = false;
    bool watches_mean = false; ///< the mean bag too
    std::optional<double> steam_off_s;
    std::optional<Fineness> load;
    std::optional<Fineness> watched;
  };

  [[nodiscard]] VesselToRun to_run(const Moved& moved, const Asked& asked) const {
    VesselToRun out;
    out.vessel = input_.vessel;
    out.vessel.wall_W_per_K *= std::exp(moved.walls_ln);
    out.vessel.metal_J_per_K *= std::exp(moved.metal_ln);
    out.rule.need = input_.need;
    out.rule.steam_off_s = asked.steam_off_s;
    out.rule.most_steam_s = input_.most_steam_s;
    out.rule.cool_degC = input_.cool_degC;
    if (asked.cools) out.rule.open_degC = input_.open_degC;
    out.rule.watched.clear();
    for (std::size_t k = 0; k < input_.bags.size(); ++k) {
      const PlannedBags& bags = input_.bags[k];
      UnknownVector ln = bags.before.ln;
      if (!moved.kinds_ln.empty())
        for (std::size_t i = 0; i < unknown_count; ++i)
          ln[i] += moved.kinds_ln[k][i];
      LoadPart part{bags.bag.body,
                    multipliers_of(ln),
                    static_cast<double>(bags.count),
                    input_.vessel.start_degC,
                    bags.keeps_condensate,
                    asked.load};
      const bool has_slowest = !moved.slowest_ln.empty();
      if (!has_slowest || asked.watches_mean) out.rule.watched.push_back(out.load.size());
      out.load.push_back(part);
      if (!has_slowest) continue;
      part.multipliers = multipliers_of(with_speed(ln, moved.slowest_ln[k]));
      part.count = 0;
      part.fineness = asked.watched;
      out.rule.watched.push_back(out.load.size());
      out.load.push_back(part);
      out.rule.film_in_air_share = input_.film_in_air_W_per_m2K / bags.bag.body.film_W_per_m2K[0];
    }
    return out;
  }
  [[nodiscard]] SteamSupply supply(const Moved& moved) const {
    SteamSupply out = input_.supply;
    out.power_W *= std::exp(moved.supply_ln);
    out.rate_kg_per_s *= std::exp(moved.supply_ln);
    out.first_steam_at_s = 0;
    return out;
  }
  [[nodiscard]] VesselRun run(const Moved& moved, const Asked& asked) const {
    return std::move(run_vessels({to_run(moved, asked)}, supply(moved), vapour_).front());
  }
  /// Time needed, s; where it is not met in time, as long as was tried.
  [[nodiscard]] double needed_s(const VesselRun& run) const {
    return run.enough_at_s.value_or(input_.most_steam_s);
  }

  [[nodiscard]] std::vector<double> slowest_likely() const {
    std::vector<double> out;
    for (std::size_t k = 0; k < input_.bags.size(); ++k)
      out.push_back(-lowest_[k].mean_depth * input_.bags[k].spread_sd);
    return out;
  }

  /// Slopes of ln(time needed) against all that is not known, at the tables' figures.
  void find_slopes() {
    const Asked asked{.steam_off_s = {}, .load = coarse, .watched = coarse};
    const VesselRun base = run({}, asked);
    const double base_s = needed_s(base);
    // With the mean bags alone watched, parts and kinds are the same.
    out_.slowest = base.last;
    struct Slopes {
      double needed = 0;
      double come_up = 0;
    };
    const auto slopes = [&](const Moved& moved) {
      const VesselRun other = run(moved, asked);
      const double base_top_s = base.top_at_s.value_or(input_.most_steam_s);
      return Slopes{std::log(needed_s(other) / base_s) / slope_step,
                    std::log(other.top_at_s.value_or(input_.most_steam_s) / base_top_s) / slope_step};
    };
    std::vector<Moved> moves{{.supply_ln = -slope_step, .kinds_ln = {}, .slowest_ln = {}}};
    for (std::size_t i = 0; i < unknown_count; ++i) {
      Moved moved;
      moved.kinds_ln.assign(input_.bags.size(), UnknownVector{});
      for (UnknownVector& ln : moved.kinds_ln)
        ln[i] = slope_step;
      moves.push_back(std::move(moved));
    }
    Moved slower;
    slower.slowest_ln.assign(input_.bags.size(), -slope_step);
    moves.push_back(std::move(slower));
    std::vector<Slopes> found(moves.size());
    tbb::parallel_for(std::size_t{0}, moves.size(), [&](std::size_t i) { found[i] = slopes(moves[i]); });
    supply_slope_ = -found[0].needed;
    for (std::size_t i = 0; i < unknown_count; ++i) {
      kind_slope_[i] = found[1 + i].needed;
      come_up_kind_slope_[i] = found[1 + i].come_up;
    }
    slowest_slope_ = -found.back().needed;
    // Metal and walls lengthen the come-up by their share of the heat: less steam for the rest.
    const BalanceSums& sums = base.top_at_s ? base.at_top : base.at_steam_off;
    const auto share_of = [&](double J) { return std::clamp(J / std::max(sums.supplied_J, 1.0), 0.0, 1.0); };
    const double metal_share = share_of(sums.metal_J);
    const double walls_share = share_of(sums.walls_J);
    metal_slope_ = metal_share * std::abs(supply_slope_);
    walls_slope_ = walls_share * std::abs(supply_slope_);
    come_up_vessel_ln_sd_ = std::abs(found[0].come_up) *
                            std::sqrt(input_.doubt.supply * input_.doubt.supply +
                                      walls_share * walls_share * input_.doubt.walls * input_.doubt.walls +
                                      metal_share * metal_share * input_.doubt.metal * input_.doubt.metal);
    find_variance();
  }

  void find_variance() {
    const PlannedBags& bags = input_.bags[out_.slowest];
    const LowestDraw& lowest = lowest_[out_.slowest];
    const auto square = [](double x) { return x * x; };
    const double vessel = square(supply_slope_ * input_.doubt.supply) +
                          square(walls_slope_ * input_.doubt.walls) +
                          square(metal_slope_ * input_.doubt.metal);
    const double kind = dot(kind_slope_, times(bags.before.covariance, kind_slope_));
    const double bag = square(slowest_slope_ * bags.spread_sd * lowest.sd);
    come_up_ln_sd_ = std::sqrt(square(come_up_vessel_ln_sd_) +
                               dot(come_up_kind_slope_, times(bags.before.covariance, come_up_kind_slope_)));
    out_.ln_sd = std::sqrt(vessel + kind + bag);
    out_.slowest_depth_sd = lowest.mean_depth;
    // Once probed: the vessel's come-up and the kind's speed are seen, the bags' spread is not.
    const double speed_slope = kind_slope_[0] + kind_slope_[1] + kind_slope_[2];
    const double probed =
        bag + square(speed_slope) * (square(bags.spread_sd) / 2 + square(probed_again_ln_sd));
    probed_factor_ = std::exp(one_sided_95 * (std::sqrt(std::min(probed, square(out_.ln_sd))) - out_.ln_sd));
  }

  /// Every unknown at its share of the 95 % end: sign 1 slow, -1 good.
  [[nodiscard]] Moved end_of_doubt(double sign) const {
    Moved out;
    if (out_.ln_sd <= 0) {
      out.slowest_ln = slowest_likely();
      return out;
    }
    const double pull = sign * one_sided_95 / out_.ln_sd;
    const auto moved_by = [&](double slope, double sd) { return pull * sd * sd * slope; };
    out.supply_ln = moved_by(supply_slope_, input_.doubt.supply);
    out.walls_ln = moved_by(walls_slope_, input_.doubt.walls);
    out.metal_ln = moved_by(metal_slope_, input_.doubt.metal);
    out.slowest_ln = slowest_likely();
    for (std::size_t k = 0; k < input_.bags.size(); ++k) {
      const PlannedBags& bags = input_.bags[k];
      UnknownVector ln = times(bags.before.covariance, kind_slope_);
      for (double& each : ln)
        each *= pull;
      out.kinds_ln.push_back(ln);
      out.slowest_ln[k] += moved_by(slowest_slope_, bags.spread_sd * lowest_[k].sd);
    }
    return out;
  }

  [[nodiscard]] Fineness load_fineness() const { return in_short_ ? coarse : of_load; }
  [[nodiscard]] Fineness slowest_fineness() const { return in_short_ ? of_slowest_in_short : of_slowest; }

  void tell_slow() {
    slow_ =
        run(end_of_doubt(1),
            {.cools = !in_short_, .steam_off_s = {}, .load = load_fineness(), .watched = slowest_fineness()});
    out_.is_enough = slow_.enough_at_s.has_value();
    out_.boils_dry = slow_.dry_at_s.has_value();
    out_.slow_reaches_top = slow_.top_at_s.has_value();
    const double enough_s = needed_s(slow_);
    out_.steam_off_s = std::ceil(enough_s / s_per_5_minutes - 1e-9) * s_per_5_minutes;
    out_.enough_s.slow = enough_s;
    out_.hot_s.slow = slow_.hot_at_s.value_or(enough_s);
    out_.steam_kg.slow = steam_kg(slow_.at_steam_off);
    out_.open_slow_s = slow_.open_at_s;
    out_.cooled_slow_s = slow_.cooled_at_s;
    out_.probed_saves_s = std::max(0.0, enough_s * (1 - probed_factor_));
  }

  /// Within the vessel there is no steam rate: what was evaporated is the heat over the latent heat at 100 C.
  [[nodiscard]] double steam_kg(const BalanceSums& sums) const {
    constexpr double latent_at_100_J_per_kg = 2.2565e6; // IAPWS R7-97(2012)
    return input_.supply.kind == SupplyKind::within ? sums.supplied_J / latent_at_100_J_per_kg
                                                    : sums.supplied_kg;
  }

  static HeatShares shares_of(const BalanceSums& sums) {
    return {sums.supplied_J,
            sums.bags_J,
            sums.metal_J,
            sums.heel_J,
            sums.walls_J,
            sums.space_J,
            sums.purged_J + sums.vented_J,
            sums.condensate_J + sums.kept_J};
  }

  void tell_likely() {
    Moved moved;
    moved.slowest_ln = slowest_likely();
    const Asked asked{.cools = !in_short_,
                      .watches_mean = true,
                      .steam_off_s = out_.steam_off_s,
                      .load = in_short_ ? coarse : Fineness{},
                      .watched = slowest_fineness()};
    const VesselRun likely = run(moved, asked);
    const double enough_s = needed_s(likely);
    out_.boils_dry = out_.boils_dry || likely.dry_at_s.has_value();
    out_.reaches_top = likely.top_at_s.has_value();
    out_.enough_s.likely = enough_s;
    out_.come_up_s.likely = likely.top_at_s.value_or(out_.steam_off_s);
    out_.boiling_s.likely = likely.boiling_at_s.value_or(out_.steam_off_s);
    out_.hot_s.likely = likely.hot_at_s.value_or(out_.steam_off_s);
    out_.open_s = likely.open_at_s;
    out_.cooled_s = likely.cooled_at_s;
    // Bags that warm slowly hold less when the steam goes off: the later of the two is the late end.
    if (out_.open_s && out_.open_slow_s) out_.open_slow_s = std::max(*out_.open_s, *out_.open_slow_s);
    if (out_.cooled_s && out_.cooled_slow_s)
      out_.cooled_slow_s = std::max(*out_.cooled_s, *out_.cooled_slow_s);
    out_.credit_minutes = likely.F_after_minutes;
    out_.hot_after_s = likely.hot_after_s;
    out_.F_minutes = likely.F_at_steam_off_minutes;
    out_.to_top = shares_of(likely.at_top);
    out_.to_off = shares_of(likely.at_steam_off);
    const BalanceSums& sums = likely.at_steam_off;
    out_.steam_kg.likely = steam_kg(sums);
    out_.vented_kg = sums.vented_kg + sums.purged_kg;
    out_.condensate_kg = sums.condensate_kg;
    out_.kept_kg = sums.kept_kg;
    out_.peak_demand_W = likely.most_demand_W;
    out_.hold_demand_W = likely.hold_demand_W;
    out_.most_vented_kg_per_s = likely.most_vented_kg_per_s;
    out_.energy_residual_share = likely.energy_residual_share;
    out_.water_residual_share = likely.water_residual_share;
    tell_alike(likely);
    tell_curve(likely);
    spread_come_up(out_.come_up_s);
    spread_come_up(out_.boiling_s);
    out_.hot_s.good = out_.hot_s.likely;
    out_.enough_s.good = out_.enough_s.likely;
    out_.steam_kg.good = out_.steam_kg.likely;
  }

  /// The come-up has ends of its own: bags that take up heat slowly let the vessel be hot the sooner.
  void spread_come_up(Range& range) const {
    const double apart = std::exp(one_sided_95 * come_up_ln_sd_);
    range.good = range.likely / apart;
    range.slow = range.likely * apart;
  }

  /// Watched are, kind by kind, the mean bag and the slowest.
  void tell_alike(const VesselRun& likely) {
    double alike_s = 0;
    for (std::size_t k = 0; k < input_.bags.size(); ++k)
      alike_s = std::max(alike_s, likely.enough_of_s[2 * k].value_or(out_.steam_off_s));
    out_.alike_enough_s = alike_s;
    out_.margin = out_.steam_off_s / alike_s;
  }

  /// Minute by minute, straight between the moments of the likely and of the slow run.
  void tell_curve(const VesselRun& likely) {
    if (in_short_) return;
    constexpr double s_per_minute = 60;
    constexpr double s_per_h = 3600;
    const std::size_t part = 2 * out_.slowest + 1;
    const double end_s = std::max(likely.moments.back().time_s, slow_.moments.back().time_s);
    MomentFinder of_likely(likely.moments);
    MomentFinder of_slow(slow_.moments);
    const auto minutes = static_cast<int>(end_s / s_per_minute);
    for (int minute = 0; minute <= minutes; ++minute) {
      const double at_s = minute * s_per_minute;
      const auto [a, b, share] = of_likely.at(at_s);
      const auto [c, d, slow_share] = of_slow.at(at_s);
      const auto between = [](double x, double y, double way) { return x + way * (y - x); };
      out_.curve.push_back({at_s, between(a.degC, b.degC, share), between(c.degC, d.degC, slow_share),
                            between(a.core_degC[part], b.core_degC[part], share),
                            between(c.core_degC[part], d.core_degC[part], slow_share),
                            b.steam_kg_per_s * s_per_h, b.vented_kg_per_s * s_per_h});
    }
  }

  void run_good() {
    good_ =
        run(end_of_doubt(-1), {.steam_off_s = {}, .load = load_fineness(), .watched = slowest_fineness()});
  }

  void tell_good() {
    const auto sooner = [](const std::optional<double>& a, double b) { return std::min(a.value_or(b), b); };
    out_.hot_s.good = sooner(good_.hot_at_s, out_.hot_s.likely);
    out_.enough_s.good = sooner(good_.enough_at_s, out_.enough_s.likely);
    out_.steam_kg.good = std::min(steam_kg(good_.at_steam_off), out_.steam_kg.likely);
  }

  /// Both vessels on one supply, by the likely figures.
  void tell_second() {
    Moved moved;
    moved.slowest_ln = slowest_likely();
    VesselToRun one =
        to_run(moved, {.steam_off_s = {}, .load = load_fineness(), .watched = slowest_fineness()});
    VesselToRun other = one;
    other.begins_s = *input_.second_after_s;
    const std::vector<VesselRun> runs = run_vessels({one, other}, supply(moved), vapour_);
    out_.second_enough_s = runs[1].enough_at_s;
    if (runs[0].enough_at_s)
      out_.first_delayed_s = std::max(0.0, *runs[0].enough_at_s - out_.enough_s.likely);
  }

  const PlanInput& input_;
  const VapourTable& vapour_;
  bool in_short_;
  std::vector<LowestDraw> lowest_;
  double supply_slope_ = 0, walls_slope_ = 0, metal_slope_ = 0, slowest_slope_ = 0, probed_factor_ = 1;
  UnknownVector kind_slope_{}, come_up_kind_slope_{};
  double come_up_vessel_ln_sd_ = 0, come_up_ln_sd_ = 0;
  VesselRun slow_, good_;
  Plan out_;
};

} // namespace

Plan make_plan(const PlanInput& input, const VapourTable& vapour, bool in_short) {
  return Planner(input, vapour, in_short).plan();
}

} // namespace coldbag
