#include "sizing/heat_balance.h"
#include "sizing/steam_table.h"
#include "sizing/vessel_run.h"
#include "steam/latent_heat.h"
#include "steam/saturation.h"
#include "support/approx.h"
#include "support/made_bag.h"

#include <doctest/doctest.h>

#include <array>
#include <cmath>

using namespace coldbag;
using namespace coldbag::test;

namespace {

/// A tank whose whole heat stands in its metal, warmed without fill or air.
struct Tank {
  double J_per_K = 0;
  double walls_W_per_K = 0;
  double air_degC = 20;
  double from_degC = 20;
  double top_degC = 195;
};

VesselSteps tank_steps(const Tank& tank) {
  VesselBody body;
  body.metal_J_per_K = tank.J_per_K;
  body.wall_W_per_K = tank.walls_W_per_K;
  body.air_degC = tank.air_degC;
  body.start_degC = tank.from_degC;
  body.top_degC = tank.top_degC;
  body.is_rated = true;
  return VesselSteps(body, {}, heating_tables().vapour);
}

/// Moves on in even steps for so long, or until so hot; gives back the time, the last step cut at the level.
double run_tank(VesselSteps& tank, double power_W, double for_s, double dt_s, double until_degC = 1e9) {
  SteamSupply supply;
  supply.kind = SupplyKind::within;
  supply.power_W = power_W;
  double now_s = 0;
  while (now_s < for_s - 1e-9) {
    const double before_degC = tank.degC();
    const double step_s = std::min(dt_s, for_s - now_s);
    tank.try_step(supply, {step_s, 1, power_W > 0});
    tank.keep_step();
    if (tank.degC() >= until_degC)
      return now_s + step_s * (until_degC - before_degC) / (tank.degC() - before_degC);
    now_s += step_s;
  }
  return now_s;
}

VesselToRun loaded(int cells = 5) {
  VesselToRun out;
  out.vessel.volume_m3 = 2;
  out.vessel.metal_J_per_K = 400 * 490;
  out.vessel.wall_W_per_K = 15;
  out.vessel.purge_volumes = 3;
  out.vessel.top_degC = 121.1;
  out.vessel.is_rated = true;
  out.load.push_back({tried_body(), {}, 200, 20, false, Fineness{cells, 1.2, 1200}});
  out.rule.need.reference = Reference{"F0", 121.1, 10, 110.0, {}};
  out.rule.need.F_minutes = 15;
  out.rule.need.setpoint_degC = 118;
  out.rule.most_steam_s = 48 * 3600.0;
  return out;
}

SteamSupply boiler(double power_W) {
  SteamSupply out;
  out.power_W = power_W;
  return out;
}

VesselRun run_one(const VesselToRun& vessel, const SteamSupply& supply, double step_share = 1) {
  return run_vessels({vessel}, supply, heating_tables().vapour, step_share).front();
}

void check_closed(const VesselRun& run) {
  CHECK(std::abs(run.energy_residual_share) < 1e-9);
  CHECK(std::abs(run.water_residual_share) < 1e-9);
  CHECK(std::abs(run.stored_residual_share) < 1e-9);
}

} // namespace

TEST_SUITE("saturated") {
  TEST_CASE("what is looked up is the formulation's to a tenth of a thousandth") {
    for (double t = 1; t < 199; t += 0.37) {
      const Saturated at = saturated(t);
      CHECK(within(at.water_J_per_kg, water_enthalpy_J_per_kg(t), 1e-4 * water_enthalpy_J_per_kg(t) + 1));
      CHECK(within(at.steam_J_per_kg, steam_enthalpy_J_per_kg(t), 1e-4 * steam_enthalpy_J_per_kg(t)));
      CHECK(within(at.steam_kg_per_m3, 1 / steam_specific_volume_m3_per_kg(t),
                   2e-4 / steam_specific_volume_m3_per_kg(t)));
    }
  }
}

TEST_SUITE("a vessel's balance") {
  // Coulson & Richardson, Chemical Engineering vol. 1, ex. 9.25, as an open transcription prints it: 1000 kg
  // of 4.0 kJ/kgK, coil of 600 x 0.5 W/K at 393 K, walls 10 x 6 W/K to 293 K. Published: 376.3 K at most; 293
  // to 353 K in 14,155 s; 346.9 K after 7,200 s without steam; 2,584 s back to 353 K. A coil that gives UA
  // (Ts - T) is a supply of UA (Ts - Tair) and as much more loss.
  TEST_CASE("a tank with a coil and losses warms as a textbook has it") {
    constexpr double coil_W_per_K = 300;
    constexpr double walls_W_per_K = 60;
    Tank tank{.J_per_K = 4e6, .walls_W_per_K = coil_W_per_K + walls_W_per_K};
    const double power_W = coil_W_per_K * 100;
    VesselSteps warming = tank_steps(tank);
    CHECK(within(run_tank(warming, power_W, 1e6, 60, 80), 14155, 0.005 * 14155));
    VesselSteps long_on = tank_steps(tank);
    run_tank(long_on, power_W, 4e5, 600);
    CHECK(within(long_on.degC() + 273, 376.3, 0.1));
    tank.walls_W_per_K = walls_W_per_K;
    tank.from_degC = 80;
    VesselSteps off = tank_steps(tank);
    run_tank(off, 0, 7200, 60);
    CHECK(within(off.degC() + 273, 346.9, 0.1));
    tank.walls_W_per_K = coil_W_per_K + walls_W_per_K;
    tank.from_degC = off.degC();
    VesselSteps again = tank_steps(tank);
    CHECK(within(run_tank(again, power_W, 1e5, 5, 80), 2584, 0.005 * 2584));
  }

  // Worked out apart: C = 500 kg x 3.07 kJ/kgK + 250 kg x 0.49 kJ/kgK over 80 K (132.6 MJ), 9 m2 at 12 or 1
  // W/m2K to 20 C; t = -(C/UA) ln(1 - UA dT/P). Derived, not published.
  TEST_CASE("bags that conduct at once warm by the closed form, bare and insulated") {
    struct Row {
      double power_W;
      double bare_h;
      double insulated_h;
    };
    constexpr std::array rows{Row{20e3, 2.41, 1.88}, Row{30e3, 1.45, 1.24}, Row{60e3, 0.66, 0.62}};
    const double J_per_K = 500 * 3070 + 250 * 490;
    for (const Row& row : rows)
      for (const double U : {12.0, 1.0}) {
        VesselSteps tank = tank_steps({.J_per_K = J_per_K, .walls_W_per_K = 9 * U});
        const double got_s = run_tank(tank, row.power_W, 1e6, 30, 100);
        const double exact_s = -J_per_K / (9 * U) * std::log(1 - 9 * U * 80 / row.power_W);
        CHECK(within(got_s, exact_s, 0.001 * exact_s));
        CHECK(within(got_s / 3600, U > 2 ? row.bare_h : row.insulated_h, 0.0051));
      }
    // 800 kg of steel, to 121 C, insulated: 2.78, 1.84, 0.91 h at 20, 30, 60 kW.
    for (const auto& [power_W, h] : {std::pair{20e3, 2.78}, std::pair{30e3, 1.84}, std::pair{60e3, 0.91}}) {
      VesselSteps tank = tank_steps({.J_per_K = 500 * 3070 + 800 * 490, .walls_W_per_K = 9});
      CHECK(within(run_tank(tank, power_W, 1e6, 30, 121) / 3600, h, 0.005 * h + 0.005));
    }
  }

  TEST_CASE("energy and water are accounted for, whatever the supply, the vessel and the load") {
    for (const bool is_rated : {true, false})
      for (const SupplyKind kind : {SupplyKind::boiler, SupplyKind::rate, SupplyKind::within})
        for (const bool keeps : {false, true}) {
          VesselToRun v = loaded();
          v.vessel.is_rated = is_rated;
          v.vessel.air_left = 0.02;
          if (!is_rated) v.vessel.top_degC = saturation_temperature_degC(0.98 * 101325);
          v.vessel.heel_kg = 400;
          v.load.front().keeps_condensate = keeps;
          v.rule.steam_off_s = 3 * 3600.0;
          v.rule.open_degC = 80;
          SteamSupply s = boiler(30e3);
          s.kind = kind;
          s.rate_kg_per_s = 40.0 / 3600;
          s.dryness = kind == SupplyKind::rate ? 0.93 : 1;
          s.blown_kg_per_s = is_rated ? 1.0 / 3600 : 0;
          CAPTURE(is_rated);
          CAPTURE(static_cast<int>(kind));
          check_closed(run_one(v, s));
        }
  }

  TEST_CASE("steam is never hotter than its top, nor an open vessel hotter than water boils") {
    VesselToRun v = loaded();
    for (const VesselMoment& m : run_one(v, boiler(500e3)).moments) {
      CHECK(m.degC <= v.vessel.top_degC + 1e-9);
      CHECK(within(m.abs_pressure_Pa, std::max(101325.0, saturation_pressure_Pa(m.degC)), 1e-3));
    }
    v.vessel.is_rated = false;
    v.vessel.top_degC = saturation_temperature_degC(101325);
    v.rule.steam_off_s = 4 * 3600.0;
    for (const VesselMoment& m : run_one(v, boiler(500e3)).moments)
      CHECK(m.degC <= v.vessel.top_degC + 1e-9);
  }

  TEST_CASE("halving the step changes the come-up by less than half a per cent") {
    for (const double power_W : {15e3, 30e3, 60e3, 200e3})
      for (const double count : {20.0, 200.0}) {
        VesselToRun v = loaded();
        v.load.front().count = count;
        const VesselRun whole = run_one(v, boiler(power_W));
        const VesselRun half = run_one(v, boiler(power_W), 0.5);
        REQUIRE(whole.top_at_s);
        REQUIRE(half.top_at_s);
        CAPTURE(power_W);
        CAPTURE(count);
        CHECK(within(*whole.top_at_s, *half.top_at_s, 0.005 * *half.top_at_s + 1));
        CHECK(within(*whole.enough_at_s, *half.enough_at_s, 0.002 * *half.enough_at_s));
      }
  }

  TEST_CASE("too little steam never gets there; more steam is sooner; a hotter room, less metal too") {
    VesselToRun v = loaded();
    v.vessel.wall_W_per_K = 150;
    v.rule.steam_off_s = 24 * 3600.0;
    CHECK(!run_one(v, boiler(10e3)).top_at_s);
    const double at_30 = *run_one(v, boiler(30e3)).top_at_s;
    CHECK(*run_one(v, boiler(40e3)).top_at_s < at_30);
    v.vessel.metal_J_per_K /= 2;
    CHECK(*run_one(v, boiler(30e3)).top_at_s < at_30);
  }

  TEST_CASE("what an open vessel does not need blows out of its vent, a turned-down boiler saves it") {
    VesselToRun v = loaded();
    v.vessel.is_rated = false;
    v.vessel.top_degC = saturation_temperature_degC(101325);
    v.rule.steam_off_s = 8 * 3600.0;
    const VesselRun blowing = run_one(v, boiler(30e3));
    SteamSupply saving = boiler(30e3);
    saving.is_turned_down = true;
    const VesselRun saved = run_one(v, saving);
    CHECK(blowing.at_steam_off.vented_kg > 50);
    CHECK(within(saved.at_steam_off.vented_kg, 0, 1e-9));
    CHECK(within(blowing.at_steam_off.supplied_kg, 30e3 * 8 * 3600 / 2.66e6, 12));
    CHECK(within(saved.at_steam_off.bags_J, blowing.at_steam_off.bags_J, 0.001 * saved.at_steam_off.bags_J));
  }

  TEST_CASE("two vessels on one boiler: the later one delays the first, alone neither waits") {
    VesselToRun one = loaded();
    VesselToRun other = one;
    const double alone_s = *run_one(one, boiler(30e3)).enough_at_s;
    other.begins_s = 40 * 60;
    const auto both = run_vessels({one, other}, boiler(30e3), heating_tables().vapour);
    CHECK(*both[0].enough_at_s > alone_s + 60);
    CHECK(*both[1].enough_at_s > alone_s + 60);
    for (const VesselRun& run : both)
      check_closed(run);
    other.begins_s = 12 * 3600.0;
    const auto apart = run_vessels({one, other}, boiler(30e3), heating_tables().vapour);
    CHECK(within(*apart[0].enough_at_s, alone_s, 0.002 * alone_s));
    CHECK(within(*apart[1].enough_at_s, alone_s, 0.002 * alone_s));
  }

  TEST_CASE("a load that is followed burdens nothing") {
    VesselToRun v = loaded();
    const double alone_s = *run_one(v, boiler(30e3)).top_at_s;
    v.load.push_back(v.load.front());
    v.load.back().count = 0;
    CHECK(within(*run_one(v, boiler(30e3)).top_at_s, alone_s, 1e-6 * alone_s));
  }
}
