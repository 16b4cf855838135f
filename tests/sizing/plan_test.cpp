#include "sizing/plan.h"
#include "sizing/plan_json.h"
#include "sizing/plan_report.h"
#include "sizing/sweep.h"
#include "support/approx.h"
#include "support/made_request.h"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <atomic>
#include <cmath>
#include <string>

using namespace coldbag;
using namespace coldbag::test;

namespace {

PlanReport planned(const PlanRequest& request, bool in_short = false) {
  return plan_report(request, sizing_tables(), in_short);
}

void check_ordered(const Range& range) {
  CHECK(range.good > 0);
  CHECK(range.good <= range.likely + 1e-9);
  CHECK(range.likely <= range.slow + 1e-9);
}

} // namespace

TEST_SUITE("a plan") {
  TEST_CASE("its steps come one after the other, good before likely before slow") {
    for (const PlanRequest& request : {rated_request(), drum_request()}) {
      const Plan plan = planned(request).plan;
      check_ordered(plan.boiling_s);
      check_ordered(plan.come_up_s);
      check_ordered(plan.hot_s);
      check_ordered(plan.enough_s);
      CHECK(plan.boiling_s.likely <= plan.come_up_s.likely);
      CHECK(plan.come_up_s.likely < plan.hot_s.likely);
      CHECK(plan.hot_s.likely < plan.enough_s.likely);
      CHECK(plan.steam_off_s >= plan.enough_s.slow);
      CHECK(plan.steam_off_s < plan.enough_s.slow + 300);
      CHECK(plan.steam_off_s < *plan.open_s);
      CHECK(*plan.open_s < *plan.cooled_s);
      CHECK(plan.margin > 1);
      CHECK(std::abs(plan.energy_residual_share) < 1e-9);
      CHECK(std::abs(plan.water_residual_share) < 1e-9);
    }
  }

  TEST_CASE("in short it says the same to a hundredth") {
    for (const PlanRequest& request : {rated_request(), drum_request()}) {
      const Plan whole = planned(request).plan;
      const Plan brief = planned(request, true).plan;
      CHECK(within(brief.enough_s.slow, whole.enough_s.slow, 0, 0.01));
      CHECK(within(brief.enough_s.likely, whole.enough_s.likely, 0, 0.01));
      CHECK(within(brief.steam_kg.likely, whole.steam_kg.likely, 0, 0.01));
    }
  }

  TEST_CASE("a thing that is better known is planned shorter, never shorter than it takes") {
    PlanInput input = resolve_plan(rated_request(), sizing_tables()).input;
    const Plan from_table = make_plan(input, sizing_tables().heating.vapour);
    for (auto& row : input.bags.front().before.covariance)
      for (double& each : row)
        each /= 25;
    const Plan learned = make_plan(input, sizing_tables().heating.vapour);
    CHECK(learned.steam_off_s < from_table.steam_off_s);
    CHECK(within(learned.alike_enough_s, from_table.alike_enough_s, 1));
    CHECK(learned.steam_off_s > learned.alike_enough_s);
    CHECK(from_table.probed_saves_s > 600);
    CHECK(learned.probed_saves_s < from_table.probed_saves_s);
    input.doubt = {};
    input.bags.front().spread_sd = 0;
    for (auto& row : input.bags.front().before.covariance)
      row = {};
    const Plan known = make_plan(input, sizing_tables().heating.vapour);
    CHECK(known.ln_sd == 0);
    CHECK(within(known.enough_s.slow, known.alike_enough_s, 0, 0.002));
  }

  TEST_CASE("more bags, a worse probe, heavier bags take longer") {
    const double base_s = planned(rated_request(), true).plan.enough_s.slow;
    CHECK(planned(rated_request(240), true).plan.enough_s.slow > base_s);
    PlanRequest worse = rated_request();
    worse.site.u_K = stated(1.2);
    CHECK(planned(worse, true).plan.enough_s.slow > base_s);
    PlanRequest heavier = rated_request();
    heavier.bags.front().bag.mass_kg = stated(2.5);
    CHECK(planned(heavier, true).plan.enough_s.slow > base_s);
  }

  TEST_CASE("heat that is too little is told, and gives no steam-off that would be enough") {
    PlanRequest request = drum_request();
    request.supply.power_W = stated(1e3);
    const PlanReport report = planned(request);
    CHECK(!report.plan.reaches_top);
    CHECK(!report.plan.is_enough);
    CHECK(report.cautions.front().key == "size_caution_not_hot");
  }

  TEST_CASE("two kinds of bag: the slower decides") {
    PlanRequest request = rated_request(60);
    SaidBags small = said_bags(60);
    small.bag.name = "small";
    small.bag.mass_kg = stated(1.0);
    small.bag.length_m = stated(0.15);
    small.bag.width_m = stated(0.10);
    small.bag.height_m = stated(0.115);
    request.bags.insert(request.bags.begin(), small);
    const PlanReport report = planned(request);
    CHECK(report.plan.slowest == 1);
    CHECK(report.bag_count == 120);
    CHECK(report.plan.enough_s.slow > planned(rated_request(60)).plan.enough_s.slow * 0.9);
  }

  TEST_CASE("a second vessel on the same steam waits, and makes the first wait") {
    PlanRequest request = rated_request(200);
    request.second_after_s = 30 * 60;
    const Plan plan = planned(request).plan;
    REQUIRE(plan.second_enough_s);
    CHECK(*plan.second_enough_s > plan.enough_s.likely);
    CHECK(*plan.first_delayed_s > 60);
  }

  TEST_CASE("fuel, current and cost follow from the heat that went into the water") {
    PlanRequest request = drum_request();
    request.supply.fuel = stated<std::string>("electricity");
    request.supply.volts = stated(230.0);
    request.supply.price = stated(0.25);
    const PlanReport report = planned(request);
    REQUIRE(report.fuel);
    CHECK(within(report.fuel->units, report.heat_per_bag_J * 24 / 3.6e6, 1e-6));
    // All of 6 kW, all the time: what is not needed blows off.
    CHECK(within(report.fuel->units, 6 * report.plan.steam_off_s / 3600, 0, 0.01));
    CHECK(within(*report.current_A, 6000 / 230.0, 1e-6));
    CHECK(within(*report.fuel->cost, 0.25 * report.fuel->units, 1e-9));
  }

  TEST_CASE("water that boils in the vessel runs back; where it would boil dry there is no plan") {
    PlanRequest request = drum_request();
    request.supply.boils_within = true;
    request.vessel.standing_water_kg = stated(112.0);
    const PlanReport report = planned(request);
    CHECK(report.water_kg < report.plan.steam_kg.likely);
    CHECK(report.water_kg < 112);
    CHECK(report.power_needed_W < 6e3 * 1.01);
    CHECK(std::abs(report.plan.energy_residual_share) < 1e-9);
    for (const double kg : {0.0, 40.0, 85.0}) {
      request.vessel.standing_water_kg = stated(kg);
      CHECK_THROWS_AS((void)planned(request), UserError);
    }
  }

  TEST_CASE("the same request gives the same bytes") {
    CHECK(plan_json(planned(rated_request())) == plan_json(planned(rated_request())));
  }
}

TEST_SUITE("many plans") {
  TEST_CASE("a sweep keeps its order, tells refusals apart and finds the best within the limits") {
    std::vector<SweepPoint> points;
    for (const int count : {5, 10, 20, 24, 60}) {
      points.push_back({{std::to_string(count)}, drum_request(count)});
    }
    std::atomic<int> done = 0;
    const std::vector<SweepRow> rows = sweep(points, sizing_tables(), 3600, [&] { ++done; });
    CHECK(done == 5);
    REQUIRE(rows.size() == 5);
    CHECK(rows[0].labels.front() == "5");
    CHECK(rows[4].refused.size() == 1);
    CHECK(!rows[4].report);
    const double at_20_s = rows[2].report->plan.steam_off_s;
    const double at_24_s = rows[3].report->plan.steam_off_s;
    const BestRow free = best_of(rows, {});
    CHECK(*free.row == 3);
    CHECK(free.why_not_next.front().key == "size_over_refused");
    CHECK(within(rows[3].bags_per_day, 24 * 86400.0 / (at_24_s + 3600), 1e-6));
    if (at_24_s > at_20_s) {
      const BestRow held = best_of(rows, {.steam_s = at_20_s, .come_up_s = {}, .water_kg = {}});
      CHECK(*held.row == 2);
      CHECK(*held.next == 3);
      CHECK(held.why_not_next.front().key == "size_over_steam");
    }
    CHECK(!best_of(rows, {.steam_s = 60, .come_up_s = {}, .water_kg = {}}).row);
  }

  TEST_CASE("the largest load that comes up in time does, and one more does not") {
    const PlanRequest request = drum_request();
    const BoilerAnswer answer = ask_boiler(request, sizing_tables(), 45 * 60);
    REQUIRE(answer.most_bags);
    CHECK(!answer.room_is_the_limit);
    const auto slow_s = [](int count) {
      return plan_report(drum_request(count), sizing_tables(), true).plan.come_up_s.slow;
    };
    CHECK(slow_s(*answer.most_bags) <= 45 * 60);
    CHECK(slow_s(*answer.most_bags + 1) > 45 * 60);
    REQUIRE(answer.power_needed_W);
    PlanRequest stronger = request;
    stronger.supply.power_W = stated(*answer.power_needed_W);
    CHECK(plan_report(stronger, sizing_tables(), true).plan.come_up_s.slow <= 45 * 60);
    stronger.supply.power_W = stated(*answer.power_needed_W * 0.98);
    CHECK(plan_report(stronger, sizing_tables(), true).plan.come_up_s.slow > 45 * 60);
  }
}

TEST_SUITE("the worked example of docs/mathematics/sizing.md") {
  // By hand: 40 kg x 3.07 kJ/kgK x 79.97 K; 40 kg x 0.49 x 79.97; 0.2322 m3 / 1.673 m3/kg; 3 times that;
  // 2.5 m2 x 2 W/m2K x 79.97 K; steam to condense for all of it.
  TEST_CASE("is reproduced") {
    PlanRequest r;
    r.vessel.kind = stated(VesselKind::vented);
    r.vessel.volume_m3 = stated(0.3);
    r.vessel.wall_area_m2 = stated(2.5);
    r.vessel.wall_W_per_m2K = stated(2.0);
    r.vessel.metal_kg = stated(40.0);
    r.supply.power_W = stated(10e3);
    r.supply.is_turned_down = true;
    r.site.altitude_m = stated(0.0);
    r.site.hold_degC = stated(99.97);
    r.site.u_K = stated(0.3);
    r.treatment = "atmospheric_steam";
    Bag bag;
    bag.substrate = stated<std::string>("sawdust");
    bag.mass_kg = stated(2.0);
    bag.moisture_wb = stated(0.6);
    r.bags.push_back({bag, stated(20)});
    const PlanReport report = planned(r);
    const Plan& plan = report.plan;
    CHECK(within(plan.to_off.bags_J, 9.82e6, 0.01e6));
    CHECK(within(plan.to_off.metal_J, 1.567e6, 0.001e6));
    CHECK(within(report.resolved.bags_volume_m3, 0.0678, 0.00005));
    CHECK(within(plan.vented_kg, 0.416, 0.001));
    CHECK(within(plan.hold_demand_W, 399.9, 0.1));
    CHECK(within(plan.steam_off_s, 55800, 1));
    CHECK(within(plan.to_off.walls_J, 399.9 * (55800 - plan.come_up_s.likely / 2), 0.05e6));
    CHECK(within(plan.steam_kg.likely, (9.82 + 1.567 + 22.2) / 2.257 + 0.139 + 0.416, 0.06));
  }
}
