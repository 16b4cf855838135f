#include "records/trend.h"

#include "errors/our_fault.h"

#include <boost/math/distributions/normal.hpp>
#include <boost/math/distributions/students_t.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <numeric>
#include <set>
#include <tuple>

namespace coldbag {

namespace {

constexpr std::array all_figures{TrendOf::core_lag, TrendOf::come_up, TrendOf::margin, TrendOf::hold_margin,
                                 TrendOf::plateau};

const std::optional<double>& figure_of(const ChartedRun& run, TrendOf of) {
  switch (of) {
  case TrendOf::core_lag:
    return run.core_lag_minutes;
  case TrendOf::come_up:
    return run.come_up_minutes;
  case TrendOf::margin:
    return run.margin_decades;
  case TrendOf::hold_margin:
    return run.hold_margin_minutes;
  case TrendOf::plateau:
    break;
  }
  return run.plateau_degC;
}

double least_sigma(TrendOf of, const TrendFigures& figures) {
  switch (of) {
  case TrendOf::core_lag:
    return figures.core_lag_least_step;
  case TrendOf::come_up:
    return figures.come_up_least_step;
  case TrendOf::margin:
    return figures.margin_least_step;
  case TrendOf::hold_margin:
    return figures.hold_margin_least_step;
  case TrendOf::plateau:
    break;
  }
  return figures.plateau_least_step;
}

bool is_outside(double value, const IndividualLimits& limits) {
  return value < limits.lower || value > limits.upper;
}

/// Limits of the first values; one of them that lies outside would widen them for good, so it is left out and
/// they are taken again.
void set_limits(Trend& trend, const TrendFigures& figures) {
  const auto least = static_cast<std::size_t>(figures.least_runs);
  const std::size_t first = std::min(trend.values.size(), static_cast<std::size_t>(figures.baseline_runs));
  if (first < least) return;
  std::vector<double> counted(trend.values.begin(),
                              trend.values.begin() + static_cast<std::ptrdiff_t>(first));
  for (;;) {
    trend.limits = individual_limits(counted, figures, least_sigma(trend.of, figures));
    trend.limits_from = counted.size();
    std::vector<double> inside;
    std::ranges::copy_if(counted, std::back_inserter(inside),
                         [&](double value) { return !is_outside(value, *trend.limits); });
    if (inside.size() == counted.size() || inside.size() < least) break;
    counted = std::move(inside);
  }
  trend.is_provisional = first < static_cast<std::size_t>(figures.baseline_runs);
}

double held_value(const Trend& trend, std::size_t i) {
  return std::clamp(trend.values[i], trend.limits->lower, trend.limits->upper);
}

void set_means(Trend& trend, const TrendFigures& figures) {
  std::vector<double> held;
  for (std::size_t i = 0; i < trend.values.size(); ++i)
    held.push_back(held_value(trend, i));
  trend.means = ewma(held, trend.limits->centre, figures.ewma_lambda);
  const EwmaRule rule = rule_of(figures, trend.limits_from);
  for (std::size_t i = 0; i < held.size(); ++i)
    trend.half_widths.push_back(ewma_half_width(rule, trend.limits->sigma, static_cast<int>(i) + 1));
}

/// 1 above the limit of the mean, -1 below, else 0.
int beyond(const Trend& trend, std::size_t i) {
  const double off = trend.means[i] - trend.limits->centre;
  return off > trend.half_widths[i] ? 1 : (off < -trend.half_widths[i] ? -1 : 0);
}

/// Where a lasting change most likely began, between `first` and where it was seen: largest (n - k) times the
/// squared distance of their mean from the centre (Samuel, Pignatiello and Calvin 1998, from memory).
std::size_t likely_begin(const Trend& trend, std::size_t first, std::size_t seen) {
  std::size_t best = seen;
  double best_weight = -1;
  double sum = 0;
  for (std::size_t i = seen + 1; i-- > first;) {
    sum += held_value(trend, i) - trend.limits->centre;
    const double weight = sum * sum / static_cast<double>(seen + 1 - i);
    if (weight < best_weight) continue;
    best_weight = weight;
    best = i;
  }
  return best;
}

void find_drifts(Trend& trend) {
  const auto is_on_side = [&](std::size_t i, int side) {
    return (trend.means[i] - trend.limits->centre) * side > 0;
  };
  for (std::size_t i = 0; i < trend.means.size(); ++i) {
    const int side = beyond(trend, i);
    if (side == 0) continue;
    Drift drift{i, i, i, side > 0, false};
    while (drift.since > 0 && is_on_side(drift.since - 1, side))
      --drift.since;
    drift.since = likely_begin(trend, drift.since, drift.seen);
    for (; i < trend.means.size() && is_on_side(i, side); ++i)
      if (beyond(trend, i) == side) drift.until = i;
    drift.lasts = drift.until + 1 == trend.means.size();
    trend.drifts.push_back(drift);
    --i;
  }
}

void find_single(Trend& trend) {
  const auto in_drift = [&](std::size_t i) {
    return std::ranges::any_of(trend.drifts, [&](const Drift& drift) {
      return i >= drift.since && i <= drift.until && (trend.values[i] > trend.limits->centre) == drift.is_up;
    });
  };
  for (std::size_t i = 0; i < trend.values.size(); ++i) {
    if (in_drift(i)) continue;
    const bool is_out = is_outside(trend.values[i], *trend.limits);
    if (is_out) trend.outside.push_back(i);
    if (is_out || i == 0 || in_drift(i - 1) || is_outside(trend.values[i - 1], *trend.limits)) continue;
    if (std::abs(trend.values[i] - trend.values[i - 1]) > trend.limits->moving_range_upper)
      trend.jumps.push_back(i);
  }
}

bool share_a_log(const ChartedRun& one, const ChartedRun& other) {
  return std::ranges::any_of(
      one.logs, [&](const std::string& hash) { return std::ranges::binary_search(other.logs, hash); });
}

using GroupKey = std::tuple<std::string, std::string, std::string, bool>;

GroupKey group_of(const ChartedRun& run) {
  return {run.vessel, run.bag, run.treatment, run.is_imported};
}

} // namespace

IndividualLimits individual_limits(std::span<const double> values, const TrendFigures& figures,
                                   double least_sigma) {
  our_check(values.size() > 1, "a range needs two values");
  IndividualLimits out;
  out.centre = std::accumulate(values.begin(), values.end(), 0.0) / static_cast<double>(values.size());
  for (std::size_t i = 1; i < values.size(); ++i)
    out.moving_range += std::abs(values[i] - values[i - 1]) / static_cast<double>(values.size() - 1);
  out.sigma = std::max(out.moving_range / figures.moving_range_mean, least_sigma);
  out.lower = out.centre - figures.limit_sigmas * out.sigma;
  out.upper = out.centre + figures.limit_sigmas * out.sigma;
  out.moving_range_upper = figures.moving_range_limit * out.sigma * figures.moving_range_mean;
  return out;
}

std::vector<double> ewma(std::span<const double> values, double start, double lambda) {
  std::vector<double> out;
  double mean = start;
  for (const double value : values) {
    mean = lambda * value + (1 - lambda) * mean;
    out.push_back(mean);
  }
  return out;
}

double ewma_half_width(const EwmaRule& rule, double sigma, int i) {
  const double settled = rule.lambda / (2 - rule.lambda);
  const double share = settled * (1 - std::pow(1 - rule.lambda, 2.0 * i)) + rule.centre_share;
  return rule.sigmas * sigma * std::sqrt(share);
}

double sigma_doubt(std::size_t values) {
  const auto n = static_cast<double>(values);
  return std::sqrt(0.8264 * n - 1.082) / (n - 1);
}

EwmaRule rule_of(const TrendFigures& figures, std::size_t baseline_runs) {
  // As Student's t allows for a sigma out of few values, by the degrees of freedom that its doubt stands for.
  const double doubt = sigma_doubt(baseline_runs);
  const boost::math::students_t t(1 / (2 * doubt * doubt));
  const double beyond = boost::math::cdf(boost::math::normal(), -figures.limit_sigmas);
  return {figures.ewma_lambda, -boost::math::quantile(t, beyond), 1 / static_cast<double>(baseline_runs)};
}

Trend trend_of(TrendOf of, std::span<const ChartedRun> runs, const TrendFigures& figures) {
  Trend trend;
  trend.of = of;
  for (std::size_t i = 0; i < runs.size(); ++i)
    if (const auto& value = figure_of(runs[i], of)) {
      trend.runs.push_back(i);
      trend.values.push_back(*value);
    }
  set_limits(trend, figures);
  if (!trend.limits) return trend;
  set_means(trend, figures);
  find_drifts(trend);
  find_single(trend);
  return trend;
}

std::vector<AlikeRuns> alike_runs(std::span<const ChartedRun> runs) {
  std::vector<const ChartedRun*> by_entry;
  for (const ChartedRun& run : runs)
    by_entry.push_back(&run);
  std::ranges::sort(by_entry, {}, [](const ChartedRun* run) { return run->number; });
  std::vector<AlikeRuns> out;
  for (std::size_t i = 0; i < by_entry.size(); ++i)
    for (std::size_t j = 0; j < i; ++j) {
      const ChartedRun& run = *by_entry[j];
      const ChartedRun& later = *by_entry[i];
      const bool one_log = share_a_log(run, later);
      const bool alike = !run.readings.empty() && run.readings == later.readings;
      if (!one_log && !alike) continue;
      using enum AlikeRuns::Kind;
      out.push_back({one_log ? (alike ? entered_twice : same_log) : alike_in_readings, run.number,
                     later.number, run.name, later.name});
      break;
    }
  return out;
}

Trends trends_of(std::span<const ChartedRun> runs, const TrendFigures& figures) {
  Trends out;
  out.alike = alike_runs(runs);
  std::map<std::uint64_t, std::uint64_t> twice;
  for (const AlikeRuns& pair : out.alike)
    if (pair.kind == AlikeRuns::Kind::entered_twice) twice[pair.other_number] = pair.number;
  std::map<std::uint64_t, GroupKey> group_of_entry;
  for (const ChartedRun& run : runs)
    group_of_entry[run.number] = group_of(run);
  std::map<GroupKey, TrendGroup> groups;
  for (const ChartedRun& run : runs) {
    const auto first = twice.find(run.number);
    if (first != twice.end() && group_of_entry[first->second] == group_of(run)) continue;
    TrendGroup& group = groups[group_of(run)];
    std::tie(group.vessel, group.bag, group.treatment, group.is_imported) = group_of(run);
    group.treatment_name = run.treatment_name;
    group.runs.push_back(run);
  }
  for (auto& [key, group] : groups) {
    for (const TrendOf of : all_figures)
      if (Trend trend = trend_of(of, group.runs, figures); !trend.values.empty())
        group.trends.push_back(std::move(trend));
    out.groups.push_back(std::move(group));
  }
  return out;
}

} // namespace coldbag
