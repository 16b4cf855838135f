// What many runs showed together: made here from bags that the model heated, so that the truth is known. No
// outside figures; the fit itself is tried against an independent solver in fit_test.cpp.
#include "errors/user_error.h"
#include "heatup/learned.h"
#include "heatup/learned_file.h"
#include "support/approx.h"
#include "support/made_bag.h"

#include <doctest/doctest.h>

#include <cmath>
#include <numeric>
#include <random>

using namespace coldbag;
using namespace coldbag::test;

namespace {

const HeatingFigures& figures() {
  return heating_tables().figures;
}

constexpr double day_us = 86400e6;

WallTime day(int number) {
  return {static_cast<std::int64_t>(20000 + number) * static_cast<std::int64_t>(day_us)};
}

/// The readings of a bag in the middle, noise 0.1 K, until half an hour after it was hot.
FitProbe seen(const std::string& name, const UnknownVector& truth, double speed_ln, const SteamTrace& steam,
              unsigned seed) {
  UnknownVector own = truth;
  for (double& each : own)
    each += speed_ln;
  std::mt19937_64 random(seed);
  std::normal_distribution<double> noise_K(0, 0.1);
  FitProbe probe{name, tried_body(), 20, 0.1, {}};
  const BagHistory history =
      heat_bag(probe.body, multipliers_of(own), steam, heating_tables().vapour,
               {.from_s = 0, .to_s = steam.to_s(), .start_degC = 20, .probe_off_m = 0, .fineness = {}});
  for (const BagMoment& m : history.moments)
    if (m.core_degC < steam.points().back().degC - 0.5)
      probe.points.push_back({m.time_s, m.core_degC + noise_K(random), 1});
  probe.points = spaced_points(probe.points, 60);
  return probe;
}

ShownRun run_of(int number, const UnknownVector& truth, const std::vector<double>& speeds_ln) {
  const SteamTrace steam = steady_steam(121.1, 12);
  std::vector<FitProbe> probes;
  for (std::size_t i = 0; i < speeds_ln.size(); ++i)
    probes.push_back(seen("core " + std::to_string(i), truth, speeds_ln[i], steam,
                          static_cast<unsigned>(100 * number) + static_cast<unsigned>(i)));
  const Fit fit = fit_bags(probes, steam, heating_tables().vapour, figures());
  REQUIRE(fit.refusal == FitRefusal::none);
  const auto lag = times_to({119.1}, tried_body(), 20, fit, steam, heating_tables().vapour).front();
  REQUIRE(lag);
  ShownBags bags{"brick", "brick of sawdust, breathing, apart", fit.ln, fit.covariance, lag->slope, {}};
  for (const FittedProbe& probe : fit.probes)
    bags.speeds_ln.push_back(probe.speed_ln);
  return {"night " + std::to_string(number), day(number), {bags}, {}, {}};
}

double lag_min(const UnknownVector& ln) {
  const SteamTrace steam = steady_steam(121.1, 12);
  const BagHistory history =
      heat_bag(tried_body(), multipliers_of(ln), steam, heating_tables().vapour,
               {.from_s = 0, .to_s = steam.to_s(), .start_degC = 20, .probe_off_m = 0, .fineness = {}});
  return core_reaches_s(history, 119.1).value() / 60;
}

UnknownMatrix plus(UnknownMatrix a, const UnknownMatrix& b) {
  for (std::size_t i = 0; i < unknown_count; ++i)
    for (std::size_t j = 0; j < unknown_count; ++j)
      a[i][j] += b[i][j];
  return a;
}

/// With an error that all three have in common.
UnknownMatrix plus_common(const UnknownMatrix& a, double variance) {
  UnknownMatrix common{};
  for (UnknownVector& row : common)
    row.fill(variance);
  return plus(a, common);
}

UnknownVector times(const UnknownMatrix& a, const UnknownVector& x) {
  UnknownVector out{};
  for (std::size_t i = 0; i < unknown_count; ++i)
    for (std::size_t j = 0; j < unknown_count; ++j)
      out[i] += a[i][j] * x[j];
  return out;
}

/// By cofactors.
UnknownMatrix inverse(const UnknownMatrix& a) {
  const auto cofactor = [&](std::size_t i, std::size_t j) {
    const auto at = [&](std::size_t row, std::size_t column) { return a[(i + row) % 3][(j + column) % 3]; };
    return at(1, 1) * at(2, 2) - at(1, 2) * at(2, 1);
  };
  const double determinant = a[0][0] * cofactor(0, 0) + a[0][1] * cofactor(0, 1) + a[0][2] * cofactor(0, 2);
  UnknownMatrix out{};
  for (std::size_t i = 0; i < unknown_count; ++i)
    for (std::size_t j = 0; j < unknown_count; ++j)
      out[j][i] = cofactor(i, j) / determinant;
  return out;
}

const UnknownVector farm_truth{std::log(0.8), std::log(0.7), std::log(1.4)};
const std::vector<double> ten_speeds{0.11, -0.14, 0.02, 0.19, -0.08, -0.21, 0.05, 0.09, -0.12, 0.07};

Learned ten_runs_of_one_probe() {
  std::vector<ShownRun> runs;
  for (int i = 0; i < 10; ++i)
    runs.push_back(run_of(i, farm_truth, {ten_speeds[static_cast<std::size_t>(i)]}));
  return learn(runs, figures());
}

ShownRun loaded(int number, const std::string& pattern, int count, double moisture_wb = 0.62) {
  ShownRun run;
  run.name = "night " + std::to_string(number);
  run.on = day(number);
  run.pattern = ShownPattern{pattern, "autoclave", "brick", "two layers", 2.3, count, moisture_wb};
  return run;
}

} // namespace

TEST_CASE("one probe moved over ten runs tells the kind's multipliers and how its bags differ") {
  const Learned learned = ten_runs_of_one_probe();
  REQUIRE(learned.bags.size() == 1);
  const LearnedBag& bag = learned.bags.front();
  CHECK(bag.runs == 10);
  CHECK(bag.bags == 10);
  // The bags' own mean is known, to a few per cent of the lag.
  double mean = 0;
  for (const double speed : ten_speeds)
    mean += speed / 10;
  UnknownVector of_those = farm_truth;
  for (double& each : of_those)
    each += mean;
  CHECK(std::abs(lag_min(bag.prior.ln) / lag_min(of_those) - 1) < 0.04);
  // s^2 of the ten beside 0.12 with the weight of ten bags.
  double squares = 0;
  for (const double speed : ten_speeds)
    squares += (speed - mean) * (speed - mean);
  CHECK(within(learned.spread.sd, std::sqrt((squares + 10 * 0.12 * 0.12) / 19), 0.02));
  CHECK(within(learned.spread.freedom, 19, 1e-12));
  const FitPrior tables = prior_of_tables(figures());
  for (std::size_t u = 0; u < unknown_count; ++u)
    CHECK(bag.prior.covariance[u][u] < tables.covariance[u][u]);
}

// Worked out again from the definitions: what the log alone said is put in, what learning makes of it is
// compared.
TEST_CASE(
    "information of a log is put in once: without the prior it was fitted by, in doubt by how bags differ") {
  const HeatingFigures& f = figures();
  const UnknownMatrix tables = prior_of_tables(f).covariance;
  const UnknownMatrix of_log =
      inverse({{{40, 12, 6}, {12, 25, 8}, {6, 8, 30}}}); // covariance by the log alone
  const UnknownVector truth{0.2, -0.3, 0.1};
  for (const int bags : {1, 4}) {
    const UnknownMatrix before =
        bags == 1 ? tables : plus_common(tables, f.probe_spread * f.probe_spread / bags);
    const UnknownMatrix fitted = inverse(plus(inverse(of_log), inverse(before)));
    ShownBags shown{"brick", "as ever",          times(fitted, times(inverse(of_log), truth)),
                    {},      {-0.3, -0.4, -0.2}, {}};
    shown.covariance = plus_common(fitted, f.described_error * f.described_error);
    shown.speeds_ln.assign(static_cast<std::size_t>(bags), 0.0);
    const Learned learned = learn({{"night", day(1), {shown}, {}, {}}}, f);
    REQUIRE(learned.bags.size() == 1);
    const UnknownMatrix of_kind = inverse(plus_common(of_log, f.bag_spread * f.bag_spread / bags));
    const UnknownMatrix expected = inverse(plus(inverse(tables), of_kind));
    const UnknownVector mean = times(expected, times(of_kind, truth));
    const double moved = speed_beside_ln(shown.ln, mean, shown.lag_powers);
    for (std::size_t i = 0; i < unknown_count; ++i) {
      CHECK(within(learned.bags.front().prior.ln[i], mean[i] + moved, 1e-9));
      for (std::size_t j = 0; j < unknown_count; ++j)
        CHECK(within(learned.bags.front().prior.covariance[i][j], expected[i][j], 1e-9));
    }
  }
}

TEST_CASE("several probes in one run count as several bags, and their kind is their mean") {
  const Learned learned = learn({run_of(1, farm_truth, {0.1, -0.1, 0.0})}, figures());
  REQUIRE(learned.bags.size() == 1);
  CHECK(learned.bags.front().bags == 3);
  CHECK(learned.bags.front().runs == 1);
  CHECK(std::abs(lag_min(learned.bags.front().prior.ln) / lag_min(farm_truth) - 1) < 0.05);
  CHECK(within(learned.spread.freedom, 12, 1e-12));
}

TEST_CASE("what a farm has learned narrows the next forecast and decides where a log cannot") {
  const Learned learned = ten_runs_of_one_probe();
  const FitPrior& prior = learned.bags.front().prior;
  const auto lag_sd = [&](const FitPrior& by) {
    const Fit before = fit_before_any_log(by, figures());
    return times_to({119.1}, tried_body(), 20, before, steady_steam(121.1, 24), heating_tables().vapour)
        .front()
        .value()
        .ln_sd;
  };
  CHECK(lag_sd(prior) < 0.35 * lag_sd(prior_of_tables(figures())));
  // At 70 C a log tells nothing of the vapour; the farm's earlier runs at 121 C do.
  const SteamTrace mild = steady_steam(70, 12);
  const FitProbe probe = seen("core", farm_truth, 0, mild, 7);
  const Fit by_tables = fit_bags({probe}, mild, heating_tables().vapour, figures());
  const Fit by_farm = fit_bags({probe}, mild, heating_tables().vapour, figures(), prior);
  CHECK(std::abs(by_farm.ln[1] - farm_truth[1]) < std::abs(by_tables.ln[1] - farm_truth[1]));
  CHECK(by_farm.covariance[1][1] < by_tables.covariance[1][1]);
}

TEST_CASE("bags that are described anew are learned anew") {
  ShownRun before = run_of(1, farm_truth, {0.0});
  ShownRun after = run_of(2, farm_truth, {0.0});
  after.kinds.front().described = "brick of sawdust, sealed, apart";
  const Learned learned = learn({after, before}, figures()); // the later day counts, whatever the order
  REQUIRE(learned.bags.size() == 1);
  CHECK(learned.bags.front().runs == 1);
  CHECK(find_learned(learned, "brick", "brick of sawdust, sealed, apart") != nullptr);
  CHECK(find_learned(learned, "brick", "brick of sawdust, breathing, apart") == nullptr);
}

TEST_CASE("a pattern counts the runs that showed it, and begins anew when it is changed") {
  const Learned learned =
      learn({loaded(1, "full", 240, 0.60), loaded(2, "full", 240, 0.63), loaded(3, "full", 240)}, figures());
  REQUIRE(learned.patterns.size() == 1);
  CHECK(learned.patterns.front().runs == 3);
  CHECK(learned.patterns.front().lowest_moisture_wb == 0.60);
  CHECK(learned.patterns.front().highest_moisture_wb == 0.63);
  CHECK(learned.patterns.front().last == day(3));
  const Learned changed =
      learn({loaded(1, "full", 240), loaded(2, "full", 240), loaded(3, "full", 260)}, figures());
  REQUIRE(changed.patterns.size() == 1);
  CHECK(changed.patterns.front().runs == 1);
  CHECK(changed.patterns.front().count == 260);
}

TEST_CASE("one more probe goes to the kind that is least known, where its bags were probed least") {
  ShownRun run = run_of(1, farm_truth, {0.0, 0.1});
  run.places = {{"brick", "A", "low", 100, 2}, {"brick", "B", "low", 100, 0}};
  const Learned learned = learn({run}, figures());
  const auto next = probe_next(learned, {run});
  REQUIRE(next);
  CHECK(next->bag == "brick");
  CHECK(next->most_unprobed == 198);
  CHECK(next->rack == "B");
  CHECK(next->probed_there == 0);
  REQUIRE(next->factor_now);
  CHECK(next->factor_then < *next->factor_now);
  // A kind that was never probed goes before.
  run.places.push_back({"sleeve", "", "", 10, 0});
  const auto other = probe_next(learned, {run});
  REQUIRE(other);
  CHECK(other->bag == "sleeve");
  CHECK_FALSE(other->factor_now);
  // Nothing to probe where every bag is.
  run.places = {{"brick", "A", "low", 2, 2}};
  CHECK_FALSE(probe_next(learned, {run}));
}

TEST_CASE("the speed of a bag beside its kind is the common factor that makes the same lag") {
  const UnknownVector powers{-0.3, -0.4, -0.2};
  CHECK(within(speed_beside_ln({0.1, 0.1, 0.1}, {0, 0, 0}, powers), 0.1, 1e-12));
  CHECK(within(speed_beside_ln({0.3, 0, 0}, {0, 0, 0}, powers), 0.1, 1e-12));
}

TEST_CASE("the file of learned figures reads back as it was written") {
  Learned learned = ten_runs_of_one_probe();
  learned.runs = {"night \"one\"", "back\\slash"};
  learned.patterns = {{"two layers", "autoclave", "brick", "crosswise", 2.3, 240, 0.6, 0.625, 4, day(9)}};
  const std::string text = write_learned(learned);
  CHECK(text.starts_with(learned_heading()));
  const Learned back = read_learned("learned.toml", text);
  CHECK(back.runs == learned.runs);
  CHECK(back.patterns == learned.patterns);
  REQUIRE(back.bags.size() == 1);
  CHECK(back.bags.front().described == learned.bags.front().described);
  for (std::size_t i = 0; i < unknown_count; ++i) {
    CHECK(within(back.bags.front().prior.ln[i], learned.bags.front().prior.ln[i], 1e-5));
    for (std::size_t j = 0; j < unknown_count; ++j)
      CHECK(within(back.bags.front().prior.covariance[i][j], learned.bags.front().prior.covariance[i][j],
                   1e-5));
  }
  CHECK(write_learned(back) == text);
}

TEST_CASE("a file of learned figures that cannot be is refused, with its line") {
  const std::string text = write_learned(ten_runs_of_one_probe());
  const auto refused = [&](const std::string& from, const std::string& to) {
    std::string other = text;
    const auto at = other.find(from);
    REQUIRE(at != std::string::npos);
    other.replace(at, from.size(), to);
    try {
      (void)read_learned("learned.toml", other);
    } catch (const UserError& error) {
      return error.complaints().front();
    }
    return Complaint{};
  };
  CHECK(refused("vapour_sd", "vapour_sp").place.line > 1);
  CHECK(refused("spread = ", "spread = 9").place.line == 3);
  CHECK(refused("conductivity_with_vapour = ", "conductivity_with_vapour = 0.999999999 # ").place.line > 1);
  CHECK(refused("[learned]", "[taught]").problem.find("learned") != std::string::npos);
  CHECK(refused("runs = 10", "runs = -1").place.line > 1);
}
