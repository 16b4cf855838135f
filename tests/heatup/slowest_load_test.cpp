// The bound for the slowest bag without a probe, against loads of 200 bags whose slowest is known: made by an
// independent solver (tests/heatup/made), noise added here. The steam is known exactly, so nothing is taken
// off for it.
#include "heatup/fit.h"
#include "heatup/slowest_bag.h"
#include "support/long_run.h"
#include "support/made_bag.h"
#include "support/made_table.h"

#include <doctest/doctest.h>

#include <tbb/parallel_for.h>

#include <algorithm>
#include <cmath>
#include <random>

using namespace coldbag;
using namespace coldbag::test;

namespace {

constexpr int unprobed = 195;
constexpr double row_s = 600;
constexpr double z_K = 10;

/// What a probe in the middle told until half an hour after it was hot: a reading a minute, their means of
/// ten.
FitProbe probe_of(const MadeRow& load, int number) {
  std::mt19937_64 random(static_cast<unsigned>(10 * load.number("seed") + number));
  std::normal_distribution<double> noise(0, 0.1 / std::sqrt(10.0));
  FitProbe probe{"core " + std::to_string(number), tried_body(), load.number("start_degC"), 0.1, {}};
  double time_s = 0;
  int after = 0;
  for (const double degC : load.numbers("core_" + std::to_string(number) + "_degC")) {
    if (time_s > 60 * load.number("off_min") || after > 3) break;
    probe.points.push_back({time_s, degC + noise(random), 10});
    if (degC > load.number("to_degC") - 2) ++after;
    time_s += row_s;
  }
  return probe;
}

/// Minutes at the reference that a core got until `until_s`.
double F_minutes(const BagHistory& history, double reference_degC, double until_s) {
  double sum = 0;
  for (std::size_t i = 1; i < history.moments.size(); ++i) {
    const BagMoment& a = history.moments[i - 1];
    const BagMoment& b = history.moments[i];
    constexpr int slices = 20;
    for (int n = 0; n < slices; ++n) {
      const double share = (n + 0.5) / slices;
      const double time_s = a.time_s + share * (b.time_s - a.time_s);
      if (time_s > until_s) return sum;
      const double degC = a.core_degC + share * (b.core_degC - a.core_degC);
      sum += std::pow(10, (degC - reference_degC) / z_K) * (b.time_s - a.time_s) / slices / 60;
    }
  }
  return sum;
}

struct Bound {
  double F_minutes = 0;
  double lag_minutes = 0;
};

Bound bound_of(const MadeRow& load) {
  const HeatingTables& tables = heating_tables();
  std::vector<FitProbe> probes;
  for (int number = 1; number <= 5; ++number)
    probes.push_back(probe_of(load, number));
  const double lag_limit_min = 4 * load.number("slowest_lag_min");
  const SteamTrace steam = steam_of(load, std::max(lag_limit_min, load.number("off_min")));
  const Fit fit = fit_bags(probes, steam, tables.vapour, tables.figures);
  REQUIRE(fit.refusal == FitRefusal::none);
  std::vector<double> speeds;
  for (const FittedProbe& probe : fit.probes)
    speeds.push_back(probe.speed_ln);
  const double s0 = tables.figures.bag_spread;
  const double nu0 = tables.figures.bag_spread_weight;
  const double slow =
      slowest_speed_ln(speeds, unprobed, pooled_spread({speeds}, s0, nu0), Placed::at_random, s0, nu0);
  const BagHistory history =
      heat_bag(tried_body(), multipliers_of({fit.ln[0] + slow, fit.ln[1] + slow, fit.ln[2] + slow}), steam,
               tables.vapour,
               {.from_s = 0,
                .to_s = steam.to_s(),
                .start_degC = load.number("start_degC"),
                .probe_off_m = 0,
                .fineness = {}});
  const auto reached_s = core_reaches_s(history, load.number("to_degC") - 2);
  return {F_minutes(history, load.number("reference_degC"), 60 * load.number("off_min")),
          reached_s.value_or(60 * lag_limit_min) / 60};
}

struct Tally {
  int loads = 0, F_holds = 0, lag_holds = 0;
  std::vector<double> lag_ratios;
  std::map<std::string, std::vector<double>> F_ratios; ///< by case
};

Tally tally(const std::vector<MadeRow>& loads) {
  std::vector<Bound> bounds(loads.size());
  tbb::parallel_for(std::size_t{0}, loads.size(), [&](std::size_t i) { bounds[i] = bound_of(loads[i]); });
  Tally out;
  for (std::size_t i = 0; i < loads.size(); ++i) {
    const MadeRow& load = loads[i];
    ++out.loads;
    if (bounds[i].F_minutes <= load.number("F_slowest_min")) ++out.F_holds;
    if (bounds[i].lag_minutes >= load.number("slowest_lag_min")) ++out.lag_holds;
    out.lag_ratios.push_back(bounds[i].lag_minutes / load.number("slowest_lag_min"));
    out.F_ratios[load.cells.at("to_degC") + " C, " + load.cells.at("hold_min") + " min"].push_back(
        bounds[i].F_minutes / load.number("F_slowest_min"));
  }
  return out;
}

double median(std::vector<double> values) {
  REQUIRE_FALSE(values.empty());
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

void tell(const std::string& name, const Tally& t) {
  MESSAGE(name << ": of " << t.loads << " loads the bound on F holds in " << t.F_holds << ", on the lag in "
               << t.lag_holds << "; lag of the bound over the true one " << median(t.lag_ratios));
  for (const auto& [steam, ratios] : t.F_ratios)
    MESSAGE(name << ", " << steam << ": F of the bound over the true one " << median(ratios));
}

std::vector<MadeRow> loads_spread(const std::string& spread, std::size_t most) {
  std::vector<MadeRow> out;
  for (MadeRow& load : made_rows("load_truth.csv"))
    if (load.cells.at("spread") == spread && out.size() < most) out.push_back(std::move(load));
  return out;
}

} // namespace

TEST_CASE("the slowest bag without a probe is no slower than its bound, which is no wild guess") {
#ifdef COLDBAG_SANITIZED
  constexpr std::size_t most = 4;
#else
  const std::size_t most = is_long() ? 200 : 20;
#endif
  const Tally t = tally(loads_spread("0.12", most));
  tell("spread 0.12", t);
  REQUIRE(t.loads == static_cast<int>(most));
  CHECK(t.F_holds >= 0.9 * t.loads);
  CHECK(median(t.lag_ratios) <= 1.35);
  CHECK(median(t.F_ratios.at("96.0 C, 600 min")) >= 0.8);
}

// Bags that differ by half as much again as was assumed: the five probes widen the bound, though not by all
// of it.
TEST_CASE("where bags differ by more than was assumed, what becomes of the bound is told") {
  const int loads = is_long() ? 20 : 4;
  const Tally t = tally(loads_spread("0.18", static_cast<std::size_t>(loads)));
  tell("spread 0.18", t);
  CHECK(t.loads == loads);
  CHECK(t.F_holds >= 0.5 * t.loads);
}
