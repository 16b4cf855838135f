#include "sizing/steam_supply.h"

#include "errors/our_fault.h"
#include "steam/latent_heat.h"
#include "steam/saturation.h"
#include "support/approx.h"

#include <doctest/doctest.h>

using namespace coldbag;
using coldbag::test::within;

namespace {
constexpr double one_atm_Pa = 101325;
const double boils_degC = saturation_temperature_degC(one_atm_Pa);
} // namespace

TEST_CASE("feed water at the boiling point takes the heat of evaporation alone") {
  CHECK(within(heat_to_steam_J_per_kg(boils_degC, one_atm_Pa, 1), latent_heat_J_per_kg(boils_degC), 1e-6));
  CHECK(within(factor_of_evaporation(boils_degC, one_atm_Pa), 1, 1e-12));
}

TEST_CASE("wet steam carries its share of the heat of evaporation") {
  for (const double pressure_Pa : {60e3, one_atm_Pa, 205e3, 1e6}) {
    CAPTURE(pressure_Pa);
    const double missing =
        heat_to_steam_J_per_kg(15, pressure_Pa, 1) - heat_to_steam_J_per_kg(15, pressure_Pa, 0.95);
    CHECK(within(missing, 0.05 * latent_heat_J_per_kg(saturation_temperature_degC(pressure_Pa)), 1e-6));
  }
}

TEST_CASE("warmer feed water makes more steam of the same heat") {
  double before = 0;
  for (double feed_degC = 0; feed_degC < 99; feed_degC += 3) {
    const double rate = steam_rate_kg_per_s(20e3, feed_degC, one_atm_Pa, 1);
    CHECK(rate > before);
    before = rate;
  }
}

TEST_CASE("rate and power are each other's way back") {
  for (const double power_W : {0.0, 3e3, 60e3}) {
    CAPTURE(power_W);
    const double rate = steam_rate_kg_per_s(power_W, 12, 180e3, 0.97);
    CHECK(within(boiler_power_W(rate, 12, 180e3, 0.97), power_W, 0, 1e-15));
  }
  CHECK(steam_rate_kg_per_s(0, 12, 180e3, 1) == 0);
}

TEST_CASE("an element draws its watts over its volts, on three phases by the root of three less") {
  CHECK(electric_current_A(2300, 230, 1) == 10);
  CHECK(within(electric_current_A(9000, 400, 3), 12.990, 0.0005)); // 9000 / (1.7320508 x 400)
  CHECK(within(electric_current_A(9000, 400, 1) / electric_current_A(9000, 400, 3), 1.7320508, 1e-7));
  CHECK(electric_current_A(0, 120, 1) == 0);
}

TEST_CASE("feed that would boil, dryness that is no share, and phases that nobody has are our fault") {
  CHECK_THROWS_AS((void)heat_to_steam_J_per_kg(101, one_atm_Pa, 1), OurFault);
  CHECK_THROWS_AS((void)heat_to_steam_J_per_kg(-0.1, one_atm_Pa, 1), OurFault);
  CHECK_THROWS_AS((void)heat_to_steam_J_per_kg(15, 600, 1), OurFault);
  CHECK_THROWS_AS((void)heat_to_steam_J_per_kg(15, 20e6, 1), OurFault);
  CHECK_THROWS_AS((void)heat_to_steam_J_per_kg(15, one_atm_Pa, 0), OurFault);
  CHECK_THROWS_AS((void)heat_to_steam_J_per_kg(15, one_atm_Pa, 1.001), OurFault);
  CHECK_THROWS_AS((void)steam_rate_kg_per_s(-1, 15, one_atm_Pa, 1), OurFault);
  CHECK_THROWS_AS((void)boiler_power_W(-1, 15, one_atm_Pa, 1), OurFault);
  CHECK_THROWS_AS((void)electric_current_A(1000, 0, 1), OurFault);
  CHECK_THROWS_AS((void)electric_current_A(1000, 230, 2), OurFault);
  CHECK_THROWS_AS((void)electric_current_A(-1, 230, 1), OurFault);
}
