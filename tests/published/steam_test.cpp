// Water, steam and air against published figures; the tolerance of each row is that of its printed digits.
#include "steam/atmosphere.h"
#include "steam/latent_heat.h"
#include "steam/region.h"
#include "steam/saturation.h"
#include "support/approx.h"

#include <doctest/doctest.h>

#include <cmath>

using coldbag::test::within;

namespace {

constexpr double zero_degC_K = 273.15;

/// IAPWS SR1-86(1992), Eq. 1: a second, independent formula of the saturation pressure, Pa.
double supplementary_saturation_pressure_Pa(double T_K) {
  const double Tc_K = 647.096;
  const double q = 1 - T_K / Tc_K;
  const double sum = -7.85951783 * q + 1.84408259 * std::pow(q, 1.5) - 11.7866497 * std::pow(q, 3) +
                     22.6807411 * std::pow(q, 3.5) - 15.9618719 * std::pow(q, 4) +
                     1.80122502 * std::pow(q, 7.5);
  return 22.064e6 * std::exp(Tc_K / T_K * sum);
}

} // namespace

TEST_CASE("the saturation pressure reproduces the release's table") {
  // IAPWS R7-97(2012), Table 35 (values read in open test files that cite the release).
  struct Row {
    double T_K, p_MPa, tolerance;
  };
  const Row rows[] = {
      {300, 0.353658941e-2, 0.5e-11},
      {500, 0.263889776e1, 0.5e-8},
      {600, 0.123443146e2, 0.5e-7},
  };
  for (const Row& row : rows) {
    CAPTURE(row.T_K);
    CHECK(within(coldbag::saturation_pressure_Pa(row.T_K - zero_degC_K) / 1e6, row.p_MPa, row.tolerance));
  }
}

TEST_CASE("the saturation temperature reproduces the release's table") {
  // IAPWS R7-97(2012), Table 36 (values read in open test files that cite the release).
  struct Row {
    double p_MPa, T_K, tolerance;
  };
  const Row rows[] = {
      {0.1, 0.372755919e3, 0.5e-6},
      {1, 0.453035632e3, 0.5e-6},
      {10, 0.584149488e3, 0.5e-6},
  };
  for (const Row& row : rows) {
    CAPTURE(row.p_MPa);
    CHECK(
        within(coldbag::saturation_temperature_degC(row.p_MPa * 1e6) + zero_degC_K, row.T_K, row.tolerance));
  }
}

TEST_CASE("the saturation pressure meets the supplementary release's check points") {
  // IAPWS SR1-86(1992), check values, from memory: triple point, normal boiling point, critical point.
  struct Row {
    double T_K, p_Pa, tolerance;
  };
  const Row rows[] = {
      {273.16, 611.657, 0.0005},
      {373.1243, 101325, 0.5},
      {647.096, 22.064e6, 500},
  };
  for (const Row& row : rows) {
    CAPTURE(row.T_K);
    CHECK(within(supplementary_saturation_pressure_Pa(row.T_K), row.p_Pa, row.tolerance));
    // The industrial formulation is another fit of the same line: 0.01 % is its distance, not its rounding.
    CHECK(within(coldbag::saturation_pressure_Pa(row.T_K - zero_degC_K), row.p_Pa, row.tolerance, 1e-4));
  }
}

TEST_CASE("the two releases' saturation lines agree where steam runs are judged") {
  // IAPWS R7-97(2012) against IAPWS SR1-86(1992).
  for (double t_degC = 60; t_degC <= 135; t_degC += 0.5) {
    CAPTURE(t_degC);
    CHECK(within(coldbag::saturation_pressure_Pa(t_degC),
                 supplementary_saturation_pressure_Pa(t_degC + zero_degC_K), 25));
  }
}

TEST_CASE("the boiling point of water at one standard atmosphere") {
  // ITS-90 era value 99.974 degC at 101.325 kPa, from memory; 99.606 degC at 100 kPa, IAPWS R7-97(2012)
  // Table 36.
  struct Row {
    double p_Pa, t_degC, tolerance;
  };
  const Row rows[] = {
      {101325, 99.974, 0.0005},
      {100000, 99.606, 0.0005},
  };
  for (const Row& row : rows) {
    CAPTURE(row.p_Pa);
    CHECK(within(coldbag::boiling_point_degC(row.p_Pa), row.t_degC, row.tolerance));
  }
}

TEST_CASE("liquid water reproduces the release's table") {
  // IAPWS R7-97(2012), Table 5. Volumes read in open test files that cite the release; the rest from memory.
  struct Row {
    double T_K, p_MPa, v_m3_per_kg, h_kJ_per_kg, v_tolerance, h_tolerance;
  };
  const Row rows[] = {
      {300, 3, 0.100215168e-2, 0.115331273e3, 0.5e-11, 0.5e-6},
      {300, 80, 0.971180894e-3, 0.184142828e3, 0.5e-12, 0.5e-6},
      {500, 3, 0.120241800e-2, 0.975542239e3, 0.5e-11, 0.5e-6},
  };
  for (const Row& row : rows) {
    CAPTURE(row.T_K);
    CAPTURE(row.p_MPa);
    const coldbag::WaterState state = coldbag::liquid_water(row.T_K - zero_degC_K, row.p_MPa * 1e6);
    CHECK(within(state.specific_volume_m3_per_kg, row.v_m3_per_kg, row.v_tolerance));
    CHECK(within(state.enthalpy_J_per_kg / 1000, row.h_kJ_per_kg, row.h_tolerance));
  }
}

TEST_CASE("steam reproduces the release's table") {
  // IAPWS R7-97(2012), Table 15, from memory.
  struct Row {
    double T_K, p_MPa, v_m3_per_kg, h_kJ_per_kg, v_tolerance, h_tolerance;
  };
  const Row rows[] = {
      {300, 0.0035, 0.394913866e2, 0.254991145e4, 0.5e-7, 0.5e-5},
      {700, 0.0035, 0.923015898e2, 0.333568375e4, 0.5e-7, 0.5e-5},
      {700, 30, 0.542946619e-2, 0.263149474e4, 0.5e-11, 0.5e-5},
  };
  for (const Row& row : rows) {
    CAPTURE(row.T_K);
    CAPTURE(row.p_MPa);
    const coldbag::WaterState state = coldbag::steam(row.T_K - zero_degC_K, row.p_MPa * 1e6);
    CHECK(within(state.specific_volume_m3_per_kg, row.v_m3_per_kg, row.v_tolerance));
    CHECK(within(state.enthalpy_J_per_kg / 1000, row.h_kJ_per_kg, row.h_tolerance));
  }
}

TEST_CASE("the heat of evaporation gives the boiler horsepower") {
  // ASME committee of 1884: 34.5 lb/h of water evaporated from and at 212 F. Printed as 33,475 Btu/h and, on
  // other pages, as 33,471 to 33,479; the tolerance is that spread.
  struct Row {
    double lb_per_h, Btu_per_h, tolerance;
  };
  const Row rows[] = {{34.5, 33475, 6}};
  for (const Row& row : rows) {
    const double Btu_per_lb = coldbag::latent_heat_J_per_kg(coldbag::boiling_point_degC(101325)) / 2326;
    CHECK(within(row.lb_per_h * Btu_per_lb, row.Btu_per_h, row.tolerance));
  }
}

TEST_CASE("the standard atmosphere reproduces the printed heights of pressures") {
  // ICAO standard atmosphere of 1964, as two meteorology pages print it; heights are geopotential, to 1 m.
  // The formula gives 988.5 m to a millimetre where 988 is printed, hence a hair over half a metre.
  struct Row {
    double pressure_hPa, height_m, tolerance;
  };
  const Row rows[] = {
      {1000, 111, 0.501}, {950, 540, 0.501},  {900, 988, 0.501},  {850, 1457, 0.501},
      {800, 1949, 0.501}, {700, 3012, 0.501}, {600, 4206, 0.501},
  };
  for (const Row& row : rows) {
    CAPTURE(row.pressure_hPa);
    const double altitude_m = coldbag::altitude_of_pressure_m(row.pressure_hPa * 100);
    CHECK(within(coldbag::geopotential_height_m(altitude_m), row.height_m, row.tolerance));
    CHECK(within(coldbag::standard_pressure_Pa(altitude_m) / 100, row.pressure_hPa, 1e-6));
  }
}

TEST_CASE("the standard atmosphere reproduces the printed pressures at altitudes") {
  // U.S. Standard Atmosphere 1976, Table I (geometric altitude), from memory; the same air as ISO 2533:1975
  // here.
  struct Row {
    double altitude_m, pressure_hPa, tolerance;
  };
  const Row rows[] = {
      {0, 1013.25, 0.005},   {1000, 898.76, 0.005}, {2000, 795.01, 0.005},
      {3000, 701.21, 0.005}, {5000, 540.48, 0.005},
  };
  for (const Row& row : rows) {
    CAPTURE(row.altitude_m);
    CHECK(within(coldbag::standard_pressure_Pa(row.altitude_m) / 100, row.pressure_hPa, row.tolerance));
  }
}
