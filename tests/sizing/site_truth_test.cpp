// Plans of sites that an independent solver knows the truth of (tests/sizing/made): nothing is shared with it
// but the equations.

#include "heatup/fit.h"
#include "sizing/plan.h"
#include "support/approx.h"
#include "support/made_bag.h"
#include "support/made_table.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <string>
#include <vector>

using namespace coldbag;
using namespace coldbag::test;

namespace {

constexpr double u_of_checked_probe_K = 0.3;
// Sanitized, a few sites are enough: they look for faults of memory.
#if defined(COLDBAG_SANITIZED)
constexpr std::size_t most_sites = 8;
#else
constexpr std::size_t most_sites = 100;
#endif

std::vector<MadeRow> sites(const std::string& mode) {
  std::vector<MadeRow> out;
  for (MadeRow& row : made_rows("site_truth.csv", "sizing/made"))
    if (row.cells.at("mode") == mode && out.size() < most_sites) out.push_back(std::move(row));
  return out;
}

FitPrior prior_of(const MadeRow& row) {
  const std::array<double, 3> sd{row.number("k0_sd"), row.number("f_sd"), row.number("h_sd")};
  const double kf = row.number("k0_with_f");
  const double kh = row.number("k0_with_h");
  const double fh = row.number("f_with_h");
  const UnknownMatrix correlation{{{1, kf, kh}, {kf, 1, fh}, {kh, fh, 1}}};
  FitPrior out;
  for (std::size_t i = 0; i < unknown_count; ++i)
    for (std::size_t j = 0; j < unknown_count; ++j)
      out.covariance[i][j] = correlation[i][j] * sd[i] * sd[j];
  return out;
}

/// The site as somebody described it.
PlanInput described(const MadeRow& row, double u_K) {
  Bag bag = tried_bag();
  bag.mass_kg = stated(row.number("mass_kg"));
  bag.moisture_wb = stated(row.number("moisture"));
  bag.length_m = stated(row.number("side_1_m"));
  bag.width_m = stated(row.number("side_2_m"));
  bag.height_m = stated(row.number("side_3_m"));
  PlanInput input;
  VesselBody& vessel = input.vessel;
  vessel.volume_m3 = row.number("volume_m3");
  vessel.metal_J_per_K = row.number("metal_kg") * row.number("metal_J_per_kgK");
  vessel.wall_W_per_K = row.number("wall_m2") * row.number("loss_W_per_m2K");
  vessel.air_degC = row.number("room_degC");
  vessel.purge_volumes = row.number("purge_volumes");
  vessel.site_pressure_Pa = row.number("air_Pa");
  vessel.start_degC = row.number("start_degC");
  vessel.top_degC = row.number("hold_degC");
  vessel.is_rated = true;
  input.supply.power_W = row.number("power_W");
  input.supply.feed_degC = row.number("feed_degC");
  input.doubt = {0.1, 0.3, 0.1};
  const HeatingFigures& figures = heating_tables().figures;
  input.bags.push_back({.kind = "brick",
                        .bag = describe_bag(bag, {}, {}, heating_tables()),
                        .count = static_cast<int>(row.number("bags")),
                        .before = fit_before_any_log(prior_of(row), figures),
                        .spread_sd = row.number("spread")});
  input.need.reference = Reference{"F0", 121.1, 10, 110.0, {}};
  input.need.F_minutes = 15;
  input.need.setpoint_degC = 118;
  input.need.ku_K = 1.645 * u_K;
  input.most_steam_s = 72 * 3600.0;
  return input;
}

double middle(std::vector<double> values) {
  std::ranges::sort(values);
  return (values[(values.size() - 1) / 2] + values[values.size() / 2]) / 2;
}

struct Kept {
  std::size_t enough = 0;
  std::size_t sites = 0;
  std::vector<double> ratios;
};

Kept planned(const std::string& mode) {
  Kept out;
  for (const MadeRow& row : sites(mode)) {
    const double needed_min = row.number("t_needed_min");
    const Plan plan = make_plan(described(row, u_of_checked_probe_K), heating_tables().vapour, true);
    ++out.sites;
    if (std::isnan(needed_min)) continue;
    if (plan.is_enough && plan.steam_off_s / 60 >= needed_min) ++out.enough;
    out.ratios.push_back(plan.steam_off_s / 60 / needed_min);
  }
  return out;
}

} // namespace

TEST_SUITE("plans against sites whose truth is known") {
  TEST_CASE("what was described is what there is: the margin is as promised") {
    for (const MadeRow& row : sites("exact")) {
      const Plan plan = make_plan(described(row, 0), heating_tables().vapour);
      CAPTURE(row.cells.at("seed"));
      CHECK(within(plan.alike_enough_s / 60, row.number("t_needed_min"), 0, 0.01));
      CHECK(within(plan.steam_off_s / 60 / row.number("t_needed_min"), plan.margin, 0, 0.01));
      CHECK(within(plan.come_up_s.likely / 60, row.number("come_up_min"), 0, 0.01));
      CHECK(within(plan.boiling_s.likely / 60, row.number("boils_min"), 0.5, 0.01));
    }
  }

  TEST_CASE("the coldest bag has enough in 90 of 100 sites, from the tables and from learned figures") {
    const Kept table = planned("table");
    const Kept learned = planned("learned");
    MESSAGE("from the tables: enough in ", table.enough, " of ", table.sites, ", steam over need ",
            middle(table.ratios), "; learned: ", learned.enough, " of ", learned.sites, ", ",
            middle(learned.ratios));
    CHECK(table.sites == most_sites);
    CHECK(table.enough * 10 >= table.sites * 9);
    CHECK(middle(table.ratios) <= 1.75);
    CHECK(learned.sites == most_sites);
    CHECK(learned.enough * 10 >= learned.sites * 9);
    CHECK(middle(learned.ratios) <= 1.25);
  }
}
