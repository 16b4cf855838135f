#include "sizing/compare.h"

#include <algorithm>
#include <cmath>

namespace coldbag {

namespace {

constexpr double most_factor = 64;
constexpr double told_from = 0.1; ///< a come-up so far from the likely one is explained, though in the range

/// When a curve is near its hold; straight between moments.
std::optional<double> near_hold_s(const std::vector<VesselMoment>& moments, double hold_degC) {
  for (std::size_t i = 1; i < moments.size(); ++i) {
    const VesselMoment& a = moments[i - 1];
    const VesselMoment& b = moments[i];
    if (b.degC < hold_degC - near_hold_K) continue;
    return a.time_s + (hold_degC - near_hold_K - a.degC) / (b.degC - a.degC) * (b.time_s - a.time_s);
  }
  return std::nullopt;
}

/// Factors on the supply's heat and on the walls' loss.
struct Otherwise {
  double supply = 1;
  double walls = 1;
};

std::optional<double> come_up_s(const PlanInput& input, const VapourTable& vapour, const Otherwise& other,
                                double longest_s) {
  constexpr Fineness of_load{5, 1.2, 1200};
  VesselToRun run;
  run.vessel = input.vessel;
  run.vessel.wall_W_per_K *= other.walls;
  for (const PlannedBags& bags : input.bags)
    run.load.push_back({bags.bag.body, bags.before.multipliers(), static_cast<double>(bags.count),
                        input.vessel.start_degC, bags.keeps_condensate, of_load});
  run.rule.need = input.need;
  run.rule.steam_off_s = longest_s;
  SteamSupply supply = input.supply;
  supply.power_W *= other.supply;
  supply.rate_kg_per_s *= other.supply;
  supply.first_steam_at_s = 0;
  return near_hold_s(run_vessels({run}, supply, vapour).front().moments, input.vessel.top_degC);
}

/// The factor by which a come-up takes as long as was seen; `rises` says whether more of it takes longer.
template <class With>
std::optional<double> factor_for(double seen_s, bool rises, const With& with) {
  double low = 1 / most_factor;
  double high = most_factor;
  const auto takes_longer = [&](double factor) {
    const auto took_s = with(factor);
    return !took_s || *took_s > seen_s;
  };
  if (takes_longer(low) == takes_longer(high)) return std::nullopt;
  while (high / low > 1.002) {
    const double middle = std::sqrt(low * high);
    (takes_longer(middle) == rises ? high : low) = middle;
  }
  return std::sqrt(low * high);
}

bool is_within(const Range& range, double value) {
  return value >= range.good && value <= range.slow;
}

} // namespace

PlanComparison compare_plan(const PlanReport& report, const SeenRun& seen, const VapourTable& vapour) {
  const PlanInput& input = report.resolved.input;
  const Plan& plan = report.plan;
  PlanComparison out;
  out.seen = seen;
  out.hot_s = plan.hot_s;
  out.steam_kg = plan.steam_kg.likely;
  const double longest_s = std::max({plan.steam_off_s, 3 * seen.come_up_s.value_or(0), 3600.0});
  const double likely_s = come_up_s(input, vapour, {}, longest_s).value_or(plan.come_up_s.likely);
  const double good_share = plan.come_up_s.good / plan.come_up_s.likely;
  const double slow_share = plan.come_up_s.slow / plan.come_up_s.likely;
  out.come_up_s = {likely_s * good_share, likely_s, likely_s * slow_share};
  if (seen.come_up_s) {
    const double seen_s = *seen.come_up_s;
    const bool is_near = std::abs(std::log(std::max(seen_s, 1.0) / likely_s)) <= told_from;
    if (is_near) {
      out.why.push_back({"size_as_planned_come_up", {}});
    } else {
      out.why.push_back(
          {is_within(out.come_up_s, seen_s) ? "size_why_in_range" : "size_why_out_of_range", {}});
      const auto supply = factor_for(
          seen_s, false, [&](double f) { return come_up_s(input, vapour, {.supply = f}, longest_s); });
      if (supply) out.why.push_back({"size_why_supply", {{"power_W", report.resolved.power_W * *supply}}});
      const auto walls = factor_for(
          seen_s, true, [&](double f) { return come_up_s(input, vapour, {.walls = f}, longest_s); });
      if (walls)
        out.why.push_back({"size_why_walls", {{"wall_W_per_m2K", report.resolved.wall_W_per_m2K * *walls}}});
      else
        out.why.push_back({"size_why_not_walls", {}});
    }
  }
  if (seen.hot_s && seen.come_up_s) {
    const double planned_s = plan.hot_s.likely - likely_s;
    const double took_s = *seen.hot_s - *seen.come_up_s;
    const double slow_s = plan.hot_s.slow - likely_s;
    if (took_s > slow_s)
      out.why.push_back({"size_why_bags_slow", {{"took_s", std::max(took_s, 0.0)}, {"planned_s", slow_s}}});
    else if (took_s > planned_s)
      out.why.push_back(
          {"size_why_bags_late", {{"took_s", std::max(took_s, 0.0)}, {"planned_s", planned_s}}});
    else
      out.why.push_back(
          {"size_why_bags_soon", {{"took_s", std::max(took_s, 0.0)}, {"planned_s", planned_s}}});
  }
  if (seen.steam_kg && out.steam_kg > 0)
    out.why.push_back({*seen.steam_kg > out.steam_kg ? "size_why_more_steam" : "size_why_less_steam",
                       {{"got_kg", *seen.steam_kg}, {"planned_kg", out.steam_kg}}});
  return out;
}

} // namespace coldbag
