#include "sizing/plan_request.h"
#include "steam/atmosphere.h"
#include "support/approx.h"
#include "support/made_request.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <functional>
#include <string>

using namespace coldbag;
using namespace coldbag::test;

namespace {

ResolvedPlan resolved(const PlanRequest& request) {
  return resolve_plan(request, sizing_tables());
}

/// Every problem and remedy that is said; empty where none is.
std::string refused(PlanRequest request, const std::function<void(PlanRequest&)>& change) {
  change(request);
  try {
    const ResolvedPlan plan = resolved(request);
    return "";
  } catch (const UserError& error) {
    return error.what();
  }
}

bool holds(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

bool is_told(const std::vector<Said>& all, const std::string& key) {
  return std::ranges::find(all, key, &Said::key) != all.end();
}

} // namespace

TEST_SUITE("what a plan is asked") {
  TEST_CASE("a target over the boiling point of an open vessel is refused, with the temperature it reaches") {
    const std::string told =
        refused(drum_request(), [](PlanRequest& r) { r.site.hold_degC = stated(121.0); });
    CHECK(holds(told, "above where water boils here (96.1 C)"));
    CHECK(holds(told, "hold at most 96.1 C"));
  }
  TEST_CASE("a gauge over the rating is refused, with the most that is allowed") {
    const std::string told =
        refused(rated_request(), [](PlanRequest& r) { r.site.hold_gauge_Pa = stated(160e3); });
    CHECK(holds(told, "rated for 140.0 kPa"));
    CHECK(holds(told, "never above the nameplate"));
  }
  TEST_CASE("a film over its limit is refused") {
    const std::string told = refused(
        rated_request(), [](PlanRequest& r) { r.bags.front().bag.film = stated<std::string>("hdpe"); });
    CHECK(holds(told, "film hdpe bears 105.0 C"));
    CHECK(refused(rated_request(), [](PlanRequest& r) {
            r.bags.front().bag.film = stated<std::string>("pp-homopolymer");
          }).empty());
  }
  TEST_CASE("what contradicts itself is named as such") {
    CHECK(holds(refused(drum_request(60), [](PlanRequest&) {}), "no way is left for the steam"));
    CHECK(holds(refused(drum_request(), [](PlanRequest& r) { r.vessel.wall_area_m2 = stated(1.0); }),
                "even a sphere has 1.70 m2"));
    CHECK(holds(refused(drum_request(), [](PlanRequest& r) { r.supply.rate_kg_per_s = stated(0.01); }),
                "said in several ways"));
    CHECK(holds(refused(drum_request(), [](PlanRequest& r) { r.supply.power_W = {}; }), "how much steam"));
    CHECK(holds(refused(drum_request(), [](PlanRequest& r) { r.site.site_pressure_Pa = stated(101e3); }),
                "does not fit the altitude"));
    CHECK(holds(refused(drum_request(), [](PlanRequest& r) { r.treatment = "boil"; }), "atmospheric_steam"));
    CHECK(holds(
        refused(drum_request(), [](PlanRequest& r) { r.supply.fuel = stated<std::string>("moonlight"); }),
        "no fuel that is known"));
    CHECK(holds(refused(rated_request(),
                        [](PlanRequest& r) {
                          r.vessel.rating_gauge_Pa = {};
                          r.vessel.kind = stated(VesselKind::pressure_rated);
                        }),
                "nameplate"));
    CHECK(holds(refused(drum_request(), [](PlanRequest& r) { r.bags.clear(); }), "how many bags"));
  }
  TEST_CASE("a probe that cannot show the treatment is said before the run") {
    const std::string told = refused(drum_request(), [](PlanRequest& r) {
      r.treatment = "atmospheric_steam_hot";
      r.site.u_K = stated(1.5);
    });
    CHECK(holds(told, "the probe may read 2.5 K too high"));
  }
  TEST_CASE("a treatment that no open vessel reaches is refused, with the reason") {
    const std::string told = refused(drum_request(), [](PlanRequest& r) { r.treatment = "sterilize"; });
    CHECK(holds(told, "\"sterilize\" asks for 110.0 C in the bags, and the steam is 96.1 C"));
    CHECK(holds(told, "an open vessel gets no hotter"));
  }
  TEST_CASE("figures beyond all reason are refused, not reckoned") {
    CHECK(
        holds(refused(drum_request(), [](PlanRequest& r) { r.supply.power_W = stated(1e300); }), "so large"));
    CHECK(holds(refused(drum_request(), [](PlanRequest& r) { r.site.air_degC = stated(-80.0); }), "room"));
    CHECK(holds(refused(drum_request(), [](PlanRequest& r) { r.site.u_K = stated(-1.0); }), "not negative"));
    CHECK(holds(refused(drum_request(), [](PlanRequest& r) { r.vessel.standing_water_kg = stated(-40.0); }),
                "less than nothing"));
    CHECK(holds(refused(drum_request(), [](PlanRequest& r) { r.vessel.wall_W_per_m2K = stated(-1.0); }),
                "less than nothing"));
    CHECK(holds(refused(drum_request(), [](PlanRequest& r) { r.vessel.metal_kg = stated(-1.0); }),
                "less than nothing"));
    CHECK(holds(refused(drum_request(),
                        [](PlanRequest& r) {
                          r.supply.power_W = {};
                          r.supply.fuel = stated<std::string>("pellets");
                          r.supply.fuel_rate = stated(1.0);
                        }),
                "reckoned by its mass"));
  }
  TEST_CASE("every figure that nobody said is listed") {
    PlanRequest request;
    request.supply.power_W = stated(6e3);
    request.bags.push_back(said_bags(20));
    const ResolvedPlan plan = resolved(request);
    for (const char* key :
         {"size_assumed_vented", "size_assumed_treatment", "size_assumed_hold", "size_assumed_volume",
          "size_assumed_wall_area", "size_assumed_bare", "size_assumed_wall", "size_assumed_metal",
          "size_assumed_purge", "size_assumed_air_left", "size_assumed_feed", "size_assumed_room",
          "size_assumed_u", "lag_assumed_start", "lag_assumed_sea_level"}) {
      CAPTURE(key);
      CHECK(is_told(plan.assumptions, key));
    }
  }
  TEST_CASE("a gauge means less heat higher up") {
    PlanRequest request = rated_request();
    request.site.hold_gauge_Pa = stated(103.42e3);
    request.site.altitude_m = stated(0.0);
    CHECK(within(resolved(request).input.vessel.top_degC, 120.95, 0.01));
    request.site.altitude_m = stated(1150.0);
    CHECK(within(resolved(request).input.vessel.top_degC, 118.9, 0.05));
  }
  TEST_CASE("straw is held between what it needs and what is too hot, by the valve") {
    PlanRequest request = drum_request();
    request.treatment = "pasteurize_straw";
    const ResolvedPlan plan = resolved(request);
    CHECK(plan.input.vessel.top_degC == 76.5);
    CHECK(plan.input.supply.is_turned_down);
    CHECK(plan.input.cool_degC == 29);
  }
  TEST_CASE("air that stays makes a hold at the same gauge colder") {
    PlanRequest request = rated_request();
    request.site.hold_gauge_Pa = stated(104.7e3);
    const double clean_degC = resolved(request).input.vessel.top_degC;
    request.vessel.air_left = stated(0.1);
    CHECK(resolved(request).input.vessel.top_degC < clean_degC - 3);
  }
  TEST_CASE("steam may be said as power, as a rate, as a burner or as fuel") {
    PlanRequest request = rated_request();
    request.supply.power_W = {};
    request.supply.burner_W = stated(40e3);
    request.supply.efficiency = stated(0.75);
    CHECK(within(resolved(request).power_W, 30e3, 1e-6));
    request.supply.burner_W = {};
    request.supply.efficiency = {};
    request.supply.fuel = stated<std::string>("propane");
    request.supply.fuel_rate = stated(1e-6); // m3/s, 25.8 GJ/m3, 82.5 % on the average
    CHECK(within(resolved(request).power_W, 25.78e9 * 1e-6 * 0.825, 10));
    request.supply.fuel_rate = {};
    request.supply.fuel = {};
    request.supply.rate_kg_per_s = stated(0.01);
    CHECK(within(resolved(request).power_W, 0.01 * 2.644e6, 200));
  }
  TEST_CASE("a cold boiler takes its own time to the first steam") {
    PlanRequest request = drum_request();
    request.supply.boiler_water_kg = stated(40.0);
    // 40 kg from 15 to 96.1 C at 6 kW.
    CHECK(within(resolved(request).boiler_ready_s, 40 * 4.19e3 * 81.1 / 6e3, 20));
  }
}
