#include "errors/our_fault.h"
#include "heatup/bag_model.h"
#include "heatup/series.h"
#include "kinetics/lethality.h"
#include "support/approx.h"
#include "support/made_bag.h"

#include <doctest/doctest.h>

#include <cmath>

using namespace coldbag;
using namespace coldbag::test;

namespace {

BagHistory heat(const BagBody& body, const SteamTrace& steam, double start_degC = 20,
                std::optional<Fineness> fineness = {}, const Multipliers& multipliers = {}) {
  return heat_bag(
      body, multipliers, steam, heating_tables().vapour,
      {.from_s = steam.from_s(), .to_s = steam.to_s(), .start_degC = start_degC, .fineness = fineness});
}

SeriesBody series_of(const BagBody& body) {
  const StepHeating heating{body.film_W_per_m2K[0], body.conductivity_W_per_mK,
                            body.conductivity_W_per_mK / body.density_kg_per_m3 / 3000};
  return body.form == BagForm::brick ? brick_body(body.half_m[0], body.half_m[1], body.half_m[2], heating)
                                     : cylinder_body(body.half_m[0], body.half_m[1], heating);
}

/// Largest difference of the core from the exact series, K, from Fo 0.05 on the shortest half side on.
double off_series_K(const BagBody& body, const Fineness& fineness, double hours) {
  const SeriesBody exact = series_of(body);
  const double half = body.half_m[static_cast<std::size_t>(body.shortest())];
  const double from_s = 0.05 * half * half / exact.diffusivity_m2_per_s;
  double worst = 0;
  for (const BagMoment& m : heat(body, steady_steam(100, hours), 20, fineness).moments)
    if (m.time_s >= from_s)
      worst = std::max(worst, std::abs(m.core_degC - (100 - 80 * Y_at(exact, m.time_s))));
  return worst;
}

constexpr Fineness test_grid{.cells = 32, .bend_K = 0.05, .most_step_s = 120};

double F_minutes(const BagHistory& history) {
  double sum = 0;
  Reference f0;
  f0.at_degC = 121.1;
  f0.z_K = 10;
  for (std::size_t i = 1; i < history.moments.size(); ++i) {
    const BagMoment& a = history.moments[i - 1];
    const BagMoment& b = history.moments[i];
    sum += segment_F_minutes(b.time_s - a.time_s, a.core_degC, b.core_degC, f0);
  }
  return sum;
}

/// Steam that rises for an hour, holds and cools; saturated above 100 C.
SteamTrace whole_run(double start_degC, double hold_degC) {
  std::vector<SteamPoint> points;
  for (int minute = 0; minute <= 720; ++minute) {
    const double degC = minute < 60    ? start_degC + (hold_degC - start_degC) * minute / 60
                        : minute < 300 ? hold_degC
                                       : std::max(30.0, hold_degC - (minute - 300));
    points.push_back({60.0 * minute, degC, std::max(101325.0, saturation_pressure_Pa(std::max(degC, 1.0)))});
  }
  return SteamTrace(std::move(points));
}

void check_energy(const BagHistory& history) {
  const BagMoment& last = history.moments.back();
  CHECK(std::abs(last.heat_J - last.flashed_J - history.stored_J) <=
        1e-9 * (std::abs(last.heat_J) + last.flashed_J + std::abs(history.stored_J)));
}

} // namespace

TEST_CASE("constant properties follow the exact series, brick and column") {
  for (const double biot : {0.5, 5.0, 50.0, 1000.0}) {
    const BagBody brick = constant_body(BagForm::brick, {0.10, 0.065, 0.075}, biot);
    const BagBody column = constant_body(BagForm::column, {0.06, 0.12, 0}, biot);
    const double working_brick = off_series_K(brick, working_fineness(brick, {}), 8);
    const double working_column = off_series_K(column, working_fineness(column, {}), 8);
    const double brick_K = off_series_K(brick, test_grid, 8);
    const double column_K = off_series_K(column, test_grid, 8);
    MESSAGE("Bi " << biot << ": brick " << brick_K << " K (working grid " << working_brick << "), column "
                  << column_K << " K (working grid " << working_column << ")");
    CHECK(brick_K < 0.05);
    CHECK(column_K < 0.05);
  }
}

TEST_CASE("halving cells and steps brings the core nearer by the second order") {
  const BagBody brick = constant_body(BagForm::brick, {0.10, 0.065, 0.075}, 5);
  const double coarse = off_series_K(brick, {.cells = 12, .bend_K = 0.4, .most_step_s = 300}, 6);
  const double fine = off_series_K(brick, {.cells = 24, .bend_K = 0.1, .most_step_s = 150}, 6);
  const double order = std::log2(coarse / fine);
  MESSAGE("order of convergence: " << order);
  CHECK(order > 1.8);
}

TEST_CASE("the working grid is fine enough for any film and any vapour") {
  for (const double film : {10.0, 50.0, 100.0, 200.0})
    for (const double vapour : {0.05, 0.15, 0.32, 0.6})
      for (const double degC : {121.1, 96.0}) {
        BagBody body = tried_body();
        body.film_W_per_m2K.fill(film);
        body.vapour_share = vapour;
        const Fineness working = working_fineness(body, {});
        const Fineness halved{
            .cells = 2 * working.cells, .bend_K = working.bend_K / 4, .most_step_s = working.most_step_s / 2};
        const SteamTrace steam = steady_steam(degC, 5);
        const BagHistory coarse = heat(body, steam, 20, working);
        const BagHistory fine = heat(body, steam, 20, halved);
        CAPTURE(film);
        CAPTURE(vapour);
        CAPTURE(degC);
        for (const double to : {60.0, 90.0, 100.0, 111.0, 116.0, 119.1}) {
          const auto late = core_reaches_s(coarse, to);
          const auto exact = core_reaches_s(fine, to);
          if (!late || !exact) continue;
          CHECK(std::abs(*late - *exact) < std::max(30.0, 0.005 * *exact));
        }
        CHECK(std::abs(coarse.moments.back().core_degC - fine.moments.back().core_degC) < 0.1);
        if (F_minutes(fine) > 1) CHECK(within(F_minutes(coarse), F_minutes(fine), 0, 0.02));
      }
}

TEST_CASE("energy closes to rounding: heating, cooling with flashing, frozen start") {
  for (const double start_degC : {-20.0, -1.0, 20.0})
    for (const bool is_breathing : {true, false}) {
      BagBody body = tried_body();
      body.is_breathing = is_breathing;
      const BagHistory history = heat(body, whole_run(start_degC, 121.1), start_degC);
      check_energy(history);
      CHECK((history.moments.back().flashed_J > 0) == is_breathing);
    }
}

TEST_CASE("heat taken up is what the enthalpy says, frozen start too") {
  const BagBody body = tried_body();
  for (const double start_degC : {-20.0, 20.0}) {
    const BagHistory history = heat(body, steady_steam(121.1, 24), start_degC);
    const double told = body.mass_kg * (body.enthalpy.J_per_kg(121.1) - body.enthalpy.J_per_kg(start_degC));
    CHECK(within(history.moments.back().heat_J, told, 0, 1e-4));
  }
}

TEST_CASE("a frozen start comes later, and stands at the freezing point on the way") {
  const BagBody body = tried_body();
  const auto warm = core_reaches_s(heat(body, steady_steam(100, 12), 2), 60);
  const auto frozen = core_reaches_s(heat(body, steady_steam(100, 12), -10), 60);
  REQUIRE(warm);
  REQUIRE(frozen);
  CHECK(*frozen > 1.3 * *warm);
}

TEST_CASE("after a fall of pressure no cell of a breathing bag is above the boiling point") {
  std::vector<SteamPoint> points;
  for (int minute = 0; minute <= 300; ++minute) {
    const double degC = minute < 240 ? 121.1 : 100.0;
    points.push_back({60.0 * minute, degC, std::max(101325.0, saturation_pressure_Pa(degC))});
    const BagPlan plan{.to_s = 60.0 * minute, .fineness = {}};
    if (minute < 240 || minute % 10 != 0) continue;
    const BagHistory history = heat_bag(tried_body(), {}, SteamTrace(points), heating_tables().vapour, plan);
    CHECK(history.hottest_over_boiling_K < 1e-9);
    if (minute > 240) CHECK(history.moments.back().flashed_J > 0);
  }
}

TEST_CASE("a breathing bag is driven by no more than the boiling point at the vessel's pressure") {
  const SteamTrace superheated({{0, 110, 101325}, {8 * 3600, 110, 101325}});
  const BagHistory history = heat(tried_body(), superheated);
  CHECK(history.moments.back().core_degC < 100);
  CHECK(history.moments.back().core_degC > 99.9);
}

TEST_CASE("touching neighbours slow a bag, a sealed one is slower than one that breathes") {
  Bag bag = tried_bag();
  const auto lag = [](const Bag& described) {
    return core_reaches_s(
               heat(describe_bag(described, {}, {}, heating_tables()).body, steady_steam(121.1, 24)), 119)
        .value();
  };
  const double apart = lag(bag);
  bag.neighbours = stated<std::string>("sides");
  const double sides = lag(bag);
  bag.neighbours = stated<std::string>("all");
  const double all = lag(bag);
  CHECK(sides > 1.1 * apart);
  CHECK(all > 1.1 * sides);
  bag.neighbours = stated<std::string>("apart");
  bag.closure = stated<std::string>("sealed");
  CHECK(lag(bag) > 1.2 * apart);
}

TEST_CASE("a probe off the centre reads between the core and the surface") {
  const SteamTrace steam = steady_steam(121.1, 2);
  const BagHistory history = heat_bag(tried_body(), {}, steam, heating_tables().vapour,
                                      {.to_s = 7200, .probe_off_m = 0.02, .fineness = {}});
  for (const BagMoment& m : history.moments) {
    CHECK(m.probe_degC >= m.core_degC - 1e-6);
    CHECK(m.probe_degC <= m.surface_degC + 1e-6);
  }
}

TEST_CASE("steam that does not cover the plan is a caller's fault") {
  CHECK_THROWS_AS(static_cast<void>(heat_bag(tried_body(), {}, steady_steam(100, 1), heating_tables().vapour,
                                             {.to_s = 2 * 3600, .fineness = {}})),
                  OurFault);
}
