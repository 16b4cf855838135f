#include "steam/latent_heat.h"

#include "errors/our_fault.h"
#include "steam/region.h"
#include "steam/saturation.h"
#include "support/approx.h"

#include <doctest/doctest.h>

using coldbag::test::within;

TEST_CASE("the saturation table from 60 to 135 degC") {
  // Derived from IAPWS R7-97(2012), regions 1, 2 and 4, and IAPWS SR1-86(1992); each to half its last digit.
  // The two saturation lines may stand 0.025 kPa apart.
  struct Row {
    double t_degC, p_kPa, supplementary_p_kPa, water_kJ_per_kg, steam_kJ_per_kg, latent_kJ_per_kg;
    double v_m3_per_kg, water_kg_per_m3;
  };
  const Row rows[] = {
      {60, 19.946, 19.947, 251.15, 2608.85, 2357.69, 7.6677, 983.2},
      {70, 31.201, 31.202, 293.02, 2626.10, 2333.08, 5.0397, 977.7},
      {80, 47.415, 47.416, 334.95, 2643.01, 2308.07, 3.4053, 971.8},
      {90, 70.182, 70.183, 376.97, 2659.53, 2282.56, 2.3591, 965.3},
      {95, 84.609, 84.609, 398.02, 2667.61, 2269.60, 1.9806, 961.9},
      {96, 87.771, 87.771, 402.23, 2669.22, 2266.98, 1.9138, 961.2},
      {97, 91.031, 91.031, 406.45, 2670.81, 2264.37, 1.8497, 960.5},
      {98, 94.390, 94.390, 410.66, 2672.40, 2261.74, 1.7880, 959.8},
      {99, 97.852, 97.852, 414.88, 2673.99, 2259.11, 1.7288, 959.1},
      {100, 101.418, 101.418, 419.10, 2675.57, 2256.47, 1.6719, 958.4},
      {102, 108.873, 108.874, 427.54, 2678.72, 2251.18, 1.5645, 956.9},
      {105, 120.902, 120.902, 440.21, 2683.39, 2243.18, 1.4185, 954.7},
      {110, 143.376, 143.377, 461.36, 2691.07, 2229.70, 1.2094, 950.9},
      {115, 169.177, 169.180, 482.55, 2698.58, 2216.03, 1.0359, 947.1},
      {118, 186.404, 186.408, 495.29, 2703.02, 2207.73, 0.9461, 944.7},
      {120, 198.665, 198.671, 503.78, 2705.93, 2202.15, 0.8913, 943.1},
      {121, 205.039, 205.046, 508.04, 2707.38, 2199.35, 0.8653, 942.3},
      {121.1, 205.685, 205.692, 508.46, 2707.53, 2199.07, 0.8628, 942.2},
      {122, 211.578, 211.586, 512.29, 2708.82, 2196.53, 0.8403, 941.5},
      {124, 225.168, 225.177, 520.80, 2711.69, 2190.88, 0.7927, 939.8},
      {126, 239.460, 239.471, 529.32, 2714.52, 2185.19, 0.7483, 938.2},
      {130, 270.260, 270.275, 546.39, 2720.09, 2173.70, 0.6681, 934.8},
      {134, 304.199, 304.220, 563.49, 2725.53, 2162.04, 0.5979, 931.4},
      {135, 313.201, 313.224, 567.77, 2726.87, 2159.10, 0.5818, 930.5},
  };
  for (const Row& row : rows) {
    CAPTURE(row.t_degC);
    const double p_kPa = coldbag::saturation_pressure_Pa(row.t_degC) / 1000;
    CHECK(within(p_kPa, row.p_kPa, 0.0005001));
    CHECK(within(p_kPa, row.supplementary_p_kPa, 0.0255));
    CHECK(within(coldbag::water_enthalpy_J_per_kg(row.t_degC) / 1000, row.water_kJ_per_kg, 0.005001));
    CHECK(within(coldbag::steam_enthalpy_J_per_kg(row.t_degC) / 1000, row.steam_kJ_per_kg, 0.005001));
    CHECK(within(coldbag::latent_heat_J_per_kg(row.t_degC) / 1000, row.latent_kJ_per_kg, 0.005001));
    CHECK(within(coldbag::steam_specific_volume_m3_per_kg(row.t_degC), row.v_m3_per_kg, 0.00005001));
    CHECK(within(1 / coldbag::liquid_water(row.t_degC, p_kPa * 1000).specific_volume_m3_per_kg,
                 row.water_kg_per_m3, 0.05001));
  }
}

TEST_CASE("latent heat, volumes and the slope of the saturation line agree with each other") {
  // The Clausius-Clapeyron relation ties three separate equations of the release; they meet to within 0.02 %.
  for (double t_degC = 5; t_degC <= 300; t_degC += 5) {
    CAPTURE(t_degC);
    const double p_Pa = coldbag::saturation_pressure_Pa(t_degC);
    const double change_m3_per_kg = coldbag::steam_specific_volume_m3_per_kg(t_degC) -
                                    coldbag::liquid_water(t_degC, p_Pa).specific_volume_m3_per_kg;
    const double from_slope =
        (t_degC + 273.15) * change_m3_per_kg * coldbag::saturation_slope_Pa_per_K(t_degC);
    CHECK(within(coldbag::latent_heat_J_per_kg(t_degC), from_slope, 0, 2e-4));
  }
}

TEST_CASE("heat to turn feed water into steam at one atmosphere") {
  // Derived from IAPWS R7-97(2012), kJ/kg, steam saturated at 101.325 kPa, feed water at that pressure.
  struct Row {
    double feed_degC, kJ_per_kg, tolerance;
  };
  const Row rows[] = {{10, 2633, 0.5}, {15, 2612, 0.5}, {20, 2592, 0.5}, {60, 2424, 0.5}, {80, 2341, 0.5}};
  const double steam_J_per_kg =
      coldbag::steam_enthalpy_J_per_kg(coldbag::saturation_temperature_degC(101325));
  for (const Row& row : rows) {
    CAPTURE(row.feed_degC);
    const double heat_J_per_kg =
        steam_J_per_kg - coldbag::liquid_water(row.feed_degC, 101325).enthalpy_J_per_kg;
    CHECK(within(heat_J_per_kg / 1000, row.kJ_per_kg, row.tolerance));
  }
}

TEST_CASE("the latent heat falls as the temperature rises") {
  for (double t_degC = 0.01; t_degC < 349; t_degC += 1) {
    CHECK(coldbag::latent_heat_J_per_kg(t_degC + 1) < coldbag::latent_heat_J_per_kg(t_degC));
  }
}

TEST_CASE("temperatures and pressures outside the equations are our fault") {
  for (const double t_degC : {0.0, 350.1}) {
    CAPTURE(t_degC);
    CHECK_THROWS_AS((void)coldbag::water_enthalpy_J_per_kg(t_degC), coldbag::OurFault);
    CHECK_THROWS_AS((void)coldbag::steam_enthalpy_J_per_kg(t_degC), coldbag::OurFault);
    CHECK_THROWS_AS((void)coldbag::latent_heat_J_per_kg(t_degC), coldbag::OurFault);
    CHECK_THROWS_AS((void)coldbag::steam_specific_volume_m3_per_kg(t_degC), coldbag::OurFault);
  }
  CHECK_THROWS_AS((void)coldbag::liquid_water(351, 20e6), coldbag::OurFault);
  CHECK_THROWS_AS((void)coldbag::liquid_water(20, 101e6), coldbag::OurFault);
  CHECK_THROWS_AS((void)coldbag::steam(801, 1e5), coldbag::OurFault);
  CHECK_THROWS_AS((void)coldbag::steam(120, 0), coldbag::OurFault);
}
