#include "steam/saturation.h"

#include "errors/our_fault.h"
#include "support/approx.h"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>

using coldbag::test::within;

TEST_CASE("temperature to pressure and back is the same temperature") {
  // The release's two directions solve one equation, so only rounding is left.
  for (double t_degC = 0.01; t_degC <= 373.9; t_degC += 0.37) {
    CAPTURE(t_degC);
    CHECK(
        within(coldbag::saturation_temperature_degC(coldbag::saturation_pressure_Pa(t_degC)), t_degC, 1e-8));
  }
}

TEST_CASE("the slope of the saturation line is the difference of its pressures") {
  for (double t_degC = 1; t_degC <= 370; t_degC += 3) {
    CAPTURE(t_degC);
    const double step_K = 1e-3;
    const double difference = (coldbag::saturation_pressure_Pa(t_degC + step_K) -
                               coldbag::saturation_pressure_Pa(t_degC - step_K)) /
                              (2 * step_K);
    CHECK(within(coldbag::saturation_slope_Pa_per_K(t_degC), difference, 0, 1e-6));
  }
}

TEST_CASE("what a pressure error costs in temperature") {
  // Derived from IAPWS R7-97(2012).
  struct Row {
    double t_degC, slope_kPa_per_K, tolerance;
  };
  const Row rows[] = {
      {100, 3.619, 0.0005},
      {121, 6.456, 0.0005},
  };
  for (const Row& row : rows) {
    CAPTURE(row.t_degC);
    CHECK(within(coldbag::saturation_slope_Pa_per_K(row.t_degC) / 1000, row.slope_kPa_per_K, row.tolerance));
  }
  CHECK(within(1000 / coldbag::saturation_slope_Pa_per_K(99.974), 0.2765, 0.00005)); // K per kPa
}

TEST_CASE("gauge pressure in psi above one standard atmosphere") {
  // Derived from IAPWS R7-97(2012); 1 psi = 6894.757 Pa.
  struct Row {
    double gauge_psi, t_degC, tolerance;
  };
  const Row rows[] = {
      {0.5, 100.91, 0.005}, {1, 101.83, 0.005},  {2, 103.59, 0.005},  {5, 108.39, 0.005},
      {10, 115.20, 0.005},  {15, 120.95, 0.005}, {17, 123.04, 0.005}, {20, 125.97, 0.005},
  };
  for (const Row& row : rows) {
    CAPTURE(row.gauge_psi);
    CHECK(within(coldbag::saturation_temperature_degC(101325 + row.gauge_psi * 6894.757), row.t_degC,
                 row.tolerance));
  }
}

TEST_CASE("gauge pressure of saturated steam at sea level and at 1500 m") {
  // Derived from IAPWS R7-97(2012); 84.56 kPa is the standard atmosphere at 1500 m.
  struct Row {
    double t_degC, abs_kPa, gauge_kPa, gauge_psi, gauge_1500_m_psi, tolerance;
  };
  const Row rows[] = {
      {105, 120.90, 19.58, 2.84, 5.27, 0.005},    {110, 143.38, 42.05, 6.10, 8.53, 0.005},
      {115, 169.18, 67.85, 9.84, 12.27, 0.005},   {121.1, 205.69, 104.36, 15.14, 17.57, 0.006},
      {126, 239.46, 138.13, 20.03, 22.47, 0.006}, {134, 304.20, 202.87, 29.42, 31.86, 0.006},
  };
  for (const Row& row : rows) {
    CAPTURE(row.t_degC);
    const double abs_kPa = coldbag::saturation_pressure_Pa(row.t_degC) / 1000;
    CHECK(within(abs_kPa, row.abs_kPa, row.tolerance));
    CHECK(within(abs_kPa - 101.325, row.gauge_kPa, row.tolerance));
    CHECK(within((abs_kPa - 101.325) / 6.894757, row.gauge_psi, row.tolerance));
    CHECK(within((abs_kPa - 84.56) / 6.894757, row.gauge_1500_m_psi, row.tolerance));
  }
}

TEST_CASE("the ends of the saturation line are taken, what lies beyond is our fault") {
  CHECK(within(coldbag::saturation_pressure_Pa(0), 611.213, 0.0005));
  CHECK(within(coldbag::saturation_temperature_degC(611.213), 0, 1e-5));
  CHECK(within(coldbag::saturation_temperature_degC(22.064e6), 373.946, 0.0005));
  CHECK(std::isfinite(coldbag::saturation_slope_Pa_per_K(373.946)));
  const double not_a_number = std::numeric_limits<double>::quiet_NaN();
  for (const double t_degC : {-0.01, 374.0, not_a_number}) {
    CAPTURE(t_degC);
    CHECK_THROWS_AS((void)coldbag::saturation_pressure_Pa(t_degC), coldbag::OurFault);
    CHECK_THROWS_AS((void)coldbag::saturation_slope_Pa_per_K(t_degC), coldbag::OurFault);
  }
  for (const double abs_pressure_Pa : {0.0, 611.0, 22.1e6, not_a_number}) {
    CAPTURE(abs_pressure_Pa);
    CHECK_THROWS_AS((void)coldbag::saturation_temperature_degC(abs_pressure_Pa), coldbag::OurFault);
  }
}
