// The fit against logs whose truth is known: made by an independent solver (tests/heatup/made), other grid
// and method, noise added here.
#include "heatup/fit.h"
#include "support/approx.h"
#include "support/long_run.h"
#include "support/made_bag.h"
#include "support/made_table.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <numeric>
#include <random>

using namespace coldbag;
using namespace coldbag::test;

namespace {

UnknownVector truth_ln(const MadeRow& log) {
  return {std::log(log.number("times_k0")), std::log(log.number("times_f")), std::log(log.number("times_h"))};
}

std::vector<MadeRow> made_logs() {
  return made_rows("fit_logs.csv");
}

BagBody body_of(const MadeRow& log) {
  Bag bag = tried_bag();
  bag.length_m = stated(log.number("side_3_m"));
  bag.width_m = stated(log.number("side_1_m"));
  bag.height_m = stated(log.number("side_2_m"));
  return describe_bag(bag, log.number("mass_kg"), log.number("moisture"), heating_tables()).body;
}

/// The middle of the bag as a probe told it, noise 0.3 K a minute.
FitProbe probe_of(const MadeRow& log, const std::string& trace = "core_degC", double off_K = 0) {
  std::mt19937_64 random(static_cast<unsigned>(log.number("seed")));
  std::normal_distribution<double> noise(0, 0.3 / std::sqrt(5.0));
  FitProbe probe{"core", body_of(log), log.number("start_degC"), 0.3, {}};
  const double top = log.number("to_degC");
  int after = 0;
  double min = 0;
  for (const double degC : log.numbers(trace)) {
    probe.points.push_back({60 * min, degC + off_K + noise(random), 5});
    min += 5;
    if (degC > top - 2 && ++after > 6) break;
  }
  probe.points = spaced_points(probe.points, 60);
  return probe;
}

SteamTrace fitted_steam(const MadeRow& log, const FitProbe& probe) {
  return steam_of(log, std::ceil(probe.points.back().time_s / 60) + 1);
}

Fit fit_of(const MadeRow& log, const HeatingFigures& figures, const std::string& trace = "core_degC",
           double off_K = 0) {
  const FitProbe probe = probe_of(log, trace, off_K);
  return fit_bags({probe}, fitted_steam(log, probe), heating_tables().vapour, figures);
}

/// d' C^-1 d by Cramer's rule.
double mahalanobis_square(const UnknownMatrix& c, const UnknownVector& d) {
  const auto det = [](const UnknownMatrix& m) {
    return m[0][0] * (m[1][1] * m[2][2] - m[1][2] * m[2][1]) -
           m[0][1] * (m[1][0] * m[2][2] - m[1][2] * m[2][0]) +
           m[0][2] * (m[1][0] * m[2][1] - m[1][1] * m[2][0]);
  };
  const double all = det(c);
  double sum = 0;
  for (std::size_t i = 0; i < 3; ++i) {
    UnknownMatrix with = c;
    for (std::size_t row = 0; row < 3; ++row)
      with[row][i] = d[row];
    sum += d[i] * det(with) / all;
  }
  return sum;
}

constexpr double chi_square_95 = 7.815; // three degrees, handbook tables

struct Tally {
  int logs = 0, truth_inside = 0, time_inside = 0, times = 0;
  std::array<double, 3> off_square{}, width{};
};

/// calibration_sd_K: how far the core's probe may be off beside the vessel's, one error a log.
Tally tally(const HeatingFigures& figures, int most, double calibration_sd_K) {
  std::mt19937_64 random(3);
  std::normal_distribution<double> normal;
  Tally out;
  for (const MadeRow& log : made_logs()) {
    if (log.number("to_degC") < 80 || out.logs >= most) continue;
    const Fit fit = fit_of(log, figures, "core_degC", calibration_sd_K * normal(random));
    REQUIRE(fit.refusal == FitRefusal::none);
    ++out.logs;
    const UnknownVector truth = truth_ln(log);
    UnknownVector off{};
    for (std::size_t u = 0; u < 3; ++u) {
      off[u] = fit.ln[u] - truth[u];
      out.off_square[u] += off[u] * off[u];
      out.width[u] += std::sqrt(fit.covariance[u][u]);
    }
    if (mahalanobis_square(fit.covariance, off) < chi_square_95) ++out.truth_inside;
    const double heavier_s = 60 * log.number("heavier_lag_min");
    const BagBody body = heavier(body_of(log), 1.5 * log.number("mass_kg"));
    const auto time = time_to_within(2, body, log.number("start_degC"), fit,
                                     steam_of(log, heavier_s / 30 + 120), heating_tables().vapour);
    if (!time) continue;
    ++out.times;
    if (heavier_s >= time->lower_s && heavier_s <= time->upper_s) ++out.time_inside;
  }
  return out;
}

} // namespace

TEST_CASE("the fit's region holds the truth of an independent solver, and its times that of a heavier bag") {
  const Tally t = tally(heating_tables().figures, is_long() ? 100 : 12, 0);
  const double n = t.logs;
  for (std::size_t u = 0; u < 3; ++u) {
    const double scatter = std::sqrt(t.off_square[u] / n);
    MESSAGE("unknown " << u << ": scatter " << scatter << ", mean width " << t.width[u] / n);
    CHECK(t.width[u] / n <= 3 * scatter);
  }
  MESSAGE(t.logs << " logs: truth inside " << t.truth_inside << ", time of the heavier bag inside "
                 << t.time_inside << " of " << t.times);
  CHECK(t.truth_inside >= 0.9 * t.logs);
  CHECK(t.time_inside >= 0.9 * t.logs);
}

TEST_CASE("where the probes differ by half a kelvin, a fit that knows of noise alone claims too much") {
  HeatingFigures white = heating_tables().figures;
  white.model_error_K = 1e-3;
  white.model_error_correlation_s = 1e-3; // what the grid errs counts as noise too
  white.described_error = 0;
  const int logs = is_long() ? 100 : 10;
  const Tally with = tally(heating_tables().figures, logs, 0.5);
  const Tally without = tally(white, logs, 0.5);
  MESSAGE("truth inside with the model's error: " << with.truth_inside << ", noise alone: "
                                                  << without.truth_inside << " of " << logs);
  CHECK(with.truth_inside >= 0.9 * logs);
  CHECK(without.truth_inside < 0.5 * logs);
}

TEST_CASE("a probe two centimetres off the centre hardly moves what is foretold of another bag") {
  int tried = 0;
  for (const MadeRow& log : made_logs()) {
    if (log.numbers("core_off_degC").empty() || (tried >= 4 && !is_long())) continue;
    ++tried;
    const SteamTrace steam = steam_of(log, log.number("heavier_lag_min") * 2 + 120);
    const BagBody body = heavier(body_of(log), 1.5 * log.number("mass_kg"));
    const auto time = [&](const std::string& trace) {
      return time_to_within(2, body, log.number("start_degC"), fit_of(log, heating_tables().figures, trace),
                            steam, heating_tables().vapour)
          .value()
          .s;
    };
    CAPTURE(log.number("seed"));
    CHECK(std::abs(time("core_off_degC") / time("core_degC") - 1) < 0.03);
  }
  CHECK(tried >= 4);
}

// Two of the twenty have so poor a film that it rules the heating, and the log does tell of it.
TEST_CASE("at 70 C vapour and film stay the table's") {
  int tried = 0;
  int from_table = 0;
  for (const MadeRow& log : made_logs()) {
    if (log.number("to_degC") > 80 || (tried >= 5 && !is_long())) continue;
    ++tried;
    const Fit fit = fit_of(log, heating_tables().figures);
    const bool knows_vapour = fit.is_learned[static_cast<std::size_t>(Unknown::vapour)];
    const bool knows_film = fit.is_learned[static_cast<std::size_t>(Unknown::film)];
    CHECK(fit.is_learned[static_cast<std::size_t>(Unknown::conductivity)]);
    from_table += knows_vapour || knows_film ? 0 : 1;
  }
  MESSAGE("70 C: vapour and film from the table in " << from_table << " of " << tried);
  CHECK(tried >= 5);
  CHECK(from_table >= (tried == 20 ? 18 : 5));
}

TEST_CASE("several bags of a kind each get a speed, their kind the rest") {
  const MadeRow log = made_logs().front();
  const SteamTrace steam = steam_of(log, 600);
  std::vector<FitProbe> probes;
  const std::array<double, 3> speeds{0.15, 0.0, -0.15};
  for (const double speed : speeds) {
    FitProbe probe{"bag " + std::to_string(speed), body_of(log), 20, 0.1, {}};
    const double factor = std::exp(speed);
    const BagHistory history =
        heat_bag(probe.body, {factor, factor, factor}, steam, heating_tables().vapour,
                 {.to_s = 6 * 3600, .start_degC = 20, .probe_off_m = 0, .fineness = {}});
    for (const BagMoment& m : history.moments)
      probe.points.push_back({m.time_s, m.core_degC, 1});
    probes.push_back(std::move(probe));
  }
  const Fit fit = fit_bags(probes, steam, heating_tables().vapour, heating_tables().figures);
  REQUIRE(fit.refusal == FitRefusal::none);
  CHECK(within(fit.probes[0].speed_ln - fit.probes[1].speed_ln, 0.15, 0.02));
  CHECK(within(fit.probes[1].speed_ln - fit.probes[2].speed_ln, 0.15, 0.02));
}

TEST_CASE("what cannot be fitted is refused with the reason") {
  const MadeRow log = made_logs().front();
  FitProbe probe = probe_of(log);
  const SteamTrace steam = fitted_steam(log, probe);
  const auto refusal = [&](const FitProbe& one) {
    return fit_bags({one}, steam, heating_tables().vapour, heating_tables().figures).refusal;
  };
  CHECK(fit_bags({}, steam, heating_tables().vapour, heating_tables().figures).refusal ==
        FitRefusal::no_points);
  FitProbe level = probe;
  for (FitPoint& point : level.points)
    point.degC = probe.start_degC + 3;
  CHECK(refusal(level) == FitRefusal::heating_not_seen);
  FitProbe jumps = probe;
  for (std::size_t i = 0; i < jumps.points.size(); ++i)
    jumps.points[i].degC += i % 2 == 0 ? 6 : -6;
  CHECK(refusal(jumps) == FitRefusal::does_not_fit);
}

TEST_CASE("points for a fit are means, equally spaced") {
  std::vector<FitPoint> readings;
  for (int i = 0; i < 600; ++i)
    readings.push_back({60.0 * i, static_cast<double>(i), 1});
  const std::vector<FitPoint> points = spaced_points(readings, 60);
  REQUIRE(points.size() == 60);
  CHECK(std::accumulate(points.begin(), points.end(), 0,
                        [](int sum, const FitPoint& p) { return sum + p.readings; }) == 600);
  for (const FitPoint& p : points)
    CHECK(within(p.degC, p.time_s / 60, 1e-9));
}
