#include "sizing/vessel_run.h"

#include "errors/our_fault.h"
#include "steam/saturation.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace coldbag {

namespace {

constexpr double first_step_s = 10;
constexpr double least_step_s = 0.5;
constexpr double most_step_s = 1200;
constexpr double most_rise_K = 3; ///< of the space in one step while it is driven
constexpr double least_left_s = 5;
constexpr double bend_in_cooling = 6; ///< of what is allowed while bags warm: no F hangs on it
constexpr double longest_cooling_s = 5 * 86400.0;
constexpr double near_boiling_K = 0.2;
constexpr double arrival_near = 0.97; ///< share of a step from which on it ends at the arrival

/// One vessel on its way.
class Follower {
 public:
  Follower(const VesselToRun& plan, const VapourTable& vapour)
      : plan_(plan), steps_(plan.vessel, plan.load, vapour) {
    our_check(!plan.rule.watched.empty(), "a run watches a bag");
    for (const std::size_t part : plan.rule.watched)
      watched_.push_back({part, NeedMeter(plan.rule.need), steps_.bag(part).core_degC});
    keep_moment();
  }

  [[nodiscard]] bool is_over() const { return is_over_; }
  [[nodiscard]] bool wants_steam(double now_s) const { return !is_off_ && now_s >= plan_.begins_s; }
  [[nodiscard]] bool is_cooling() const { return is_off_; }
  [[nodiscard]] bool has_begun(double now_s) const { return now_s >= plan_.begins_s; }
  [[nodiscard]] const VesselToRun& plan() const { return plan_; }
  VesselSteps& steps() { return steps_; }

  /// The longest step that hits the next thing to happen.
  [[nodiscard]] double longest_step_s() const {
    if (is_off_) return most_step_s;
    const double off_s = plan_.rule.steam_off_s.value_or(plan_.rule.most_steam_s);
    double out = std::max(off_s - run_s(), least_step_s);
    double longest_left_s = 0;
    for (const Watched& each : watched_) {
      const auto left = each.meter.left_s();
      if (!left) continue;
      longest_left_s = std::max(longest_left_s, *left);
    }
    return longest_left_s > 0 ? std::min(out, std::max(longest_left_s / 2, least_left_s)) : out;
  }
  [[nodiscard]] double run_s() const { return steps_.time_s(); }

  void take(const VesselSteps::Tried& tried, double dt_s) {
    const double before_s = run_s();
    const double before_degC = steps_.degC();
    steps_.keep_step();
    for (Watched& each : watched_) {
      const double core_degC = steps_.bag(each.part).core_degC;
      each.meter.take(before_s, dt_s, each.core_degC, core_degC);
      if (is_off_ && &each == &last() && std::min(each.core_degC, core_degC) >= plan_.rule.need.setpoint_degC)
        out_.hot_after_s += dt_s;
      each.core_degC = core_degC;
    }
    mark_temperatures(tried, before_s, before_degC, dt_s);
    out_.most_demand_W = std::max(out_.most_demand_W, steps_.demand_W());
    out_.most_vented_kg_per_s = std::max(out_.most_vented_kg_per_s, steps_.vented_kg_per_s());
    keep_moment();
    if (steps_.standing_water_kg() < -1e-9) {
      out_.dry_at_s = run_s();
      is_over_ = true;
      return;
    }
    if (!is_off_)
      end_steam_where_enough();
    else
      follow_cooling();
  }

  VesselRun finished() {
    out_.last = last().part;
    out_.enough_at_s = last().meter.met_at_s();
    out_.hot_at_s = 0;
    for (const Watched& each : watched_) {
      out_.enough_of_s.push_back(each.meter.met_at_s());
      const auto hot_at_s = each.meter.hot_at_s();
      if (!hot_at_s || !out_.hot_at_s)
        out_.hot_at_s.reset();
      else
        out_.hot_at_s = std::max(*out_.hot_at_s, *hot_at_s);
    }
    out_.F_after_minutes = last().meter.F_likely_minutes() - out_.F_at_steam_off_minutes;
    const BalanceSums& sums = out_.at_steam_off;
    const double supplied_J = std::max(sums.supplied_J, 1.0);
    out_.energy_residual_share = sums.energy_residual_J() / supplied_J;
    out_.water_residual_share = sums.water_residual_kg() / std::max(sums.supplied_kg, 1e-3);
    out_.stored_residual_share = (stored_at_off_J_ - sums.bags_J - sums.metal_J - sums.heel_J) / supplied_J;
    return std::move(out_);
  }

 private:
  struct Watched {
    std::size_t part;
    NeedMeter meter;
    double core_degC;
  };
  /// The core that met its need last, or is not there yet.
  [[nodiscard]] const Watched& last() const {
    const auto later = [](const Watched& a, const Watched& b) {
      const auto at = [](const Watched& each) { return each.meter.met_at_s().value_or(1e12); };
      if (at(a) != at(b)) return at(a) < at(b);
      return a.core_degC > b.core_degC;
    };
    return *std::max_element(watched_.begin(), watched_.end(), later);
  }

  void mark_temperatures(const VesselSteps::Tried& tried, double before_s, double before_degC, double dt_s) {
    const double boiling_degC = saturation_temperature_degC(plan_.vessel.site_pressure_Pa) - near_boiling_K;
    if (!out_.boiling_at_s && steps_.degC() >= std::min(boiling_degC, plan_.vessel.top_degC)) {
      const double level = std::min(boiling_degC, plan_.vessel.top_degC);
      const double share = std::clamp((level - before_degC) / (steps_.degC() - before_degC), 0.0, 1.0);
      out_.boiling_at_s = before_s + share * dt_s * (tried.is_at_top ? tried.arrives_at_share : 1);
    }
    if (!out_.top_at_s && tried.is_at_top) {
      out_.top_at_s = before_s + tried.arrives_at_share * dt_s;
      out_.at_top = steps_.sums();
    }
  }

  void end_steam_where_enough() {
    const bool is_late = run_s() >= plan_.rule.steam_off_s.value_or(plan_.rule.most_steam_s) - 1e-6;
    const bool is_enough = !plan_.rule.steam_off_s && last().meter.is_met();
    if (!is_late && !is_enough) return;
    is_off_ = true;
    out_.steam_off_s = run_s();
    out_.at_steam_off = steps_.sums();
    out_.F_at_steam_off_minutes = last().meter.F_likely_minutes();
    out_.hold_demand_W = steps_.demand_W();
    stored_at_off_J_ = steps_.stored_J();
    if (!plan_.rule.open_degC || (is_late && !is_enough && !plan_.rule.steam_off_s)) is_over_ = true;
  }

  void follow_cooling() {
    const double since_off_s = run_s() - out_.steam_off_s;
    if (!out_.open_at_s && steps_.degC() <= *plan_.rule.open_degC) {
      out_.open_at_s = run_s();
      steps_.open_door(plan_.rule.film_in_air_share);
    }
    double hottest_degC = -1e9;
    for (const Watched& each : watched_)
      hottest_degC = std::max(hottest_degC, steps_.hottest_degC(each.part));
    if (out_.open_at_s && hottest_degC <= plan_.rule.cool_degC) {
      out_.cooled_at_s = run_s();
      is_over_ = true;
    }
    if (since_off_s > longest_cooling_s) is_over_ = true;
  }

  void keep_moment() {
    VesselMoment m{steps_.time_s(),
                   steps_.degC(),
                   steps_.abs_pressure_Pa(),
                   steps_.steam_kg_per_s(),
                   steps_.vented_kg_per_s(),
                   steps_.demand_W(),
                   {}};
    for (std::size_t part = 0; part < plan_.load.size(); ++part)
      m.core_degC.push_back(steps_.bag(part).core_degC);
    out_.moments.push_back(std::move(m));
  }

  const VesselToRun& plan_;
  VesselSteps steps_;
  std::vector<Watched> watched_;
  double stored_at_off_J_ = 0;
  bool is_off_ = false;
  bool is_over_ = false;
  VesselRun out_;
};

/// Who gets how much: those that are at their top take what they need, the others share the rest.
std::vector<double> shares_of(const std::vector<VesselSteps::Tried>& alone, const std::vector<bool>& wants) {
  std::vector<double> out(alone.size(), 0);
  std::vector<bool> is_open(wants);
  double left = 1;
  for (std::size_t round = 0; round <= alone.size(); ++round) {
    const auto count = static_cast<double>(std::count(is_open.begin(), is_open.end(), true));
    if (count == 0) break;
    const double even = left / count;
    bool has_changed = false;
    for (std::size_t i = 0; i < alone.size(); ++i)
      if (is_open[i] && alone[i].is_at_top && alone[i].top_share <= even) {
        out[i] = alone[i].top_share;
        left -= out[i];
        is_open[i] = false;
        has_changed = true;
      }
    if (has_changed) continue;
    for (std::size_t i = 0; i < alone.size(); ++i)
      if (is_open[i]) out[i] = even;
    return out;
  }
  // All have enough: what is left over goes to the vents, evenly.
  const auto count = static_cast<double>(std::count(wants.begin(), wants.end(), true));
  for (std::size_t i = 0; i < out.size(); ++i)
    if (wants[i]) out[i] += std::max(left, 0.0) / count;
  return out;
}

/// How early in the step a vessel gets to its top: the step is cut there, so that the moment is known.
double arrival_share(const std::vector<VesselSteps::Tried>& tried) {
  double out = 1;
  for (const VesselSteps::Tried& each : tried)
    if (each.is_at_top && each.arrives_at_share > 0) out = std::min(out, each.arrives_at_share);
  return out;
}

} // namespace

std::vector<VesselRun> run_vessels(const std::vector<VesselToRun>& vessels, const SteamSupply& supply,
                                   const VapourTable& vapour, double step_share) {
  our_check(step_share > 0 && step_share <= 1, "a step is the working one or shorter");
  std::vector<Follower> followers;
  followers.reserve(vessels.size());
  for (const VesselToRun& vessel : vessels)
    followers.emplace_back(vessel, vapour);
  double now_s = 0;
  double step_s = first_step_s * step_share;
  const auto on_way = [&](const Follower& f) { return !f.is_over(); };
  while (std::any_of(followers.begin(), followers.end(), on_way)) {
    double dt_s = step_s;
    for (const Follower& f : followers) {
      if (f.is_over()) continue;
      dt_s = std::min(dt_s, f.has_begun(now_s) ? f.longest_step_s()
                                               : std::max(f.plan().begins_s - now_s, least_step_s));
    }
    const bool is_steaming = now_s >= supply.first_steam_at_s - 1e-9;
    if (!is_steaming) dt_s = std::min(dt_s, supply.first_steam_at_s - now_s);
    std::vector<bool> wants;
    wants.reserve(followers.size());
    for (const Follower& f : followers)
      wants.push_back(!f.is_over() && f.wants_steam(now_s) && is_steaming);
    const auto takers = std::count(wants.begin(), wants.end(), true);
    std::vector<VesselSteps::Tried> tried(followers.size());
    const auto try_all = [&](const std::vector<double>& shares) {
      for (std::size_t i = 0; i < followers.size(); ++i)
        if (!followers[i].is_over() && followers[i].has_begun(now_s))
          tried[i] = followers[i].steps().try_step(supply, {dt_s, shares[i], wants[i]});
    };
    try_all(std::vector<double>(followers.size(), 1.0));
    if (takers > 1) try_all(shares_of(tried, wants));
    double worst = 0;
    for (std::size_t i = 0; i < followers.size(); ++i) {
      if (followers[i].is_over() || !followers[i].has_begun(now_s)) continue;
      const double bend_share = tried[i].bend_share / (followers[i].is_cooling() ? bend_in_cooling : 1);
      worst = std::max({worst, bend_share, std::pow(tried[i].rise_K / most_rise_K, 2)});
    }
    if (const double share = arrival_share(tried); share < arrival_near && dt_s > least_step_s) {
      step_s = std::max(dt_s * share, least_step_s);
      continue;
    }
    const double wanted = step_share / std::sqrt(std::max(worst, 1e-6));
    if (wanted < 0.5 && dt_s > least_step_s) {
      step_s = std::max(dt_s * std::max(0.25, 0.9 * wanted), least_step_s);
      continue;
    }
    for (std::size_t i = 0; i < followers.size(); ++i)
      if (!followers[i].is_over() && followers[i].has_begun(now_s)) followers[i].take(tried[i], dt_s);
    now_s += dt_s;
    step_s = std::clamp(dt_s * std::clamp(0.9 * wanted, 0.4, 2.0), least_step_s, most_step_s * step_share);
  }
  std::vector<VesselRun> out;
  out.reserve(followers.size());
  for (Follower& f : followers)
    out.push_back(f.finished());
  return out;
}

} // namespace coldbag
