#include "sizing/sweep.h"

#include <tbb/parallel_for.h>

#include <algorithm>
#include <cmath>
#include <utility>

namespace coldbag {

namespace {

constexpr double s_per_day = 86400;

SweepRow row_of(const SweepPoint& point, const SizingTables& tables, double between_s) {
  SweepRow row;
  row.labels = point.labels;
  try {
    PlanReport report = plan_report(point.request, tables, true);
    report.plan.curve.clear();
    if (report.plan.is_enough)
      row.bags_per_day = report.bag_count * s_per_day / (report.plan.steam_off_s + between_s);
    row.report = std::move(report);
  } catch (const UserError& error) {
    row.refused = error.complaints();
  }
  return row;
}

/// What of a plan is beyond the limits.
std::vector<Said> beyond(const SweepRow& row, const SweepLimits& limits) {
  std::vector<Said> out;
  const Plan& plan = row.report->plan;
  if (!plan.is_enough) out.push_back({"size_over_never", {}});
  if (limits.steam_s && plan.steam_off_s > *limits.steam_s)
    out.push_back({"size_over_steam", {{"got_s", plan.steam_off_s}, {"limit_s", *limits.steam_s}}});
  if (limits.come_up_s && (!plan.slow_reaches_top || plan.come_up_s.slow > *limits.come_up_s))
    out.push_back({"size_over_come_up", {{"got_s", plan.come_up_s.slow}, {"limit_s", *limits.come_up_s}}});
  if (limits.water_kg && row.report->water_kg > *limits.water_kg)
    out.push_back({"size_over_water", {{"got_kg", row.report->water_kg}, {"limit_kg", *limits.water_kg}}});
  return out;
}

int bags_of(const SweepRow& row) {
  return row.report ? row.report->bag_count : 0;
}

} // namespace

std::vector<SweepRow> sweep(const std::vector<SweepPoint>& points, const SizingTables& tables,
                            double between_s, const std::function<void()>& is_done) {
  std::vector<SweepRow> rows(points.size());
  tbb::parallel_for(std::size_t{0}, points.size(), [&](std::size_t i) {
    rows[i] = row_of(points[i], tables, between_s);
    is_done();
  });
  return rows;
}

BestRow best_of(const std::vector<SweepRow>& rows, const SweepLimits& limits) {
  BestRow best;
  for (std::size_t i = 0; i < rows.size(); ++i) {
    if (!rows[i].report || !beyond(rows[i], limits).empty()) continue;
    if (!best.row) {
      best.row = i;
      continue;
    }
    const SweepRow& so_far = rows[*best.row];
    const bool is_even = rows[i].bags_per_day == so_far.bags_per_day;
    if (rows[i].bags_per_day > so_far.bags_per_day ||
        (is_even && rows[i].report->heat_per_bag_J < so_far.report->heat_per_bag_J))
      best.row = i;
  }
  if (!best.row) return best;
  const int count = bags_of(rows[*best.row]);
  for (std::size_t i = 0; i < rows.size(); ++i)
    if (bags_of(rows[i]) > count && (!best.next || bags_of(rows[i]) < bags_of(rows[*best.next])))
      best.next = i;
  if (best.next) {
    best.why_not_next = beyond(rows[*best.next], limits);
    if (best.why_not_next.empty())
      best.why_not_next.push_back(
          {"size_over_fewer",
           {{"got", rows[*best.next].bags_per_day}, {"best", rows[*best.row].bags_per_day}}});
    return best;
  }
  for (const SweepRow& row : rows)
    if (!row.refused.empty()) {
      best.why_not_next.push_back({"size_over_refused", {{"problem", row.refused.front().problem}}});
      break;
    }
  return best;
}

BoilerAnswer ask_boiler(const PlanRequest& request, const SizingTables& tables, double come_up_s) {
  BoilerAnswer answer;
  answer.come_up_s = come_up_s;
  const ResolvedPlan resolved = resolve_plan(request, tables);
  const auto manages = [&](const PlanInput& input) {
    const Plan plan = make_plan(input, tables.heating.vapour, true);
    return plan.slow_reaches_top && plan.reaches_top && plan.come_up_s.slow <= come_up_s;
  };
  const double others_m3 = resolved.bags_volume_m3 -
                           resolved.input.bags.front().count * resolved.input.bags.front().bag.body.mass_kg /
                               resolved.input.bags.front().bag.body.density_kg_per_m3;
  const double one_m3 =
      resolved.input.bags.front().bag.body.mass_kg / resolved.input.bags.front().bag.body.density_kg_per_m3;
  const int room = static_cast<int>(
      std::floor((tables.vessel.bags_most * resolved.vessel_volume_m3 - others_m3) / one_m3 + 1e-9));
  const auto with_bags = [&](int count) {
    PlanInput input = resolved.input;
    input.bags.front().count = count;
    input.vessel.volume_m3 = std::max(resolved.vessel_volume_m3 - others_m3 - count * one_m3, 0.0);
    return input;
  };
  int fits = 0;
  int too_many = room + 1;
  while (too_many - fits > 1) {
    const int middle = fits + (too_many - fits) / 2;
    (manages(with_bags(middle)) ? fits : too_many) = middle;
  }
  answer.most_bags = fits;
  answer.room_is_the_limit = fits == room;
  constexpr double most_factor = 1024;
  const auto with_heat = [&](double factor) {
    PlanInput input = resolved.input;
    input.supply.power_W *= factor;
    input.supply.rate_kg_per_s *= factor;
    return input;
  };
  double low = 1 / most_factor;
  double high = most_factor;
  if (!manages(with_heat(high))) return answer;
  while (high / low > 1.005) {
    const double middle = std::sqrt(low * high);
    (manages(with_heat(middle)) ? high : low) = middle;
  }
  answer.power_needed_W = resolved.power_W * high;
  return answer;
}

} // namespace coldbag
