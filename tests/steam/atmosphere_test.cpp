#include "steam/atmosphere.h"

#include "errors/our_fault.h"
#include "steam/saturation.h"
#include "support/approx.h"

#include <doctest/doctest.h>

using coldbag::test::within;

TEST_CASE("pressure, boiling point and gauge pressure by altitude") {
  // Derived from ISO 2533:1975 and IAPWS R7-97(2012); each to half its last digit.
  struct Row {
    double altitude_m, pressure_hPa, boils_degC, gauge_kPa_for_121_1_degC;
  };
  const Row rows[] = {
      {-300, 1049.81, 100.97, 100.7}, {0, 1013.25, 99.97, 104.4},   {100, 1001.29, 99.64, 105.6},
      {200, 989.45, 99.31, 106.7},    {300, 977.73, 98.98, 107.9},  {500, 954.61, 98.31, 110.2},
      {750, 926.35, 97.48, 113.1},    {1000, 898.76, 96.65, 115.8}, {1250, 871.85, 95.82, 118.5},
      {1500, 845.60, 94.98, 121.1},   {1750, 819.99, 94.15, 123.7}, {2000, 795.01, 93.32, 126.2},
      {2250, 770.66, 92.48, 128.6},   {2500, 746.92, 91.65, 131.0}, {2750, 723.77, 90.81, 133.3},
      {3000, 701.21, 89.98, 135.6},   {3500, 657.80, 88.30, 139.9}, {4000, 616.60, 86.63, 144.0},
      {4500, 577.53, 84.95, 147.9},   {5000, 540.48, 83.27, 151.6},
  };
  for (const Row& row : rows) {
    CAPTURE(row.altitude_m);
    const double site_Pa = coldbag::standard_pressure_Pa(row.altitude_m);
    CHECK(within(site_Pa / 100, row.pressure_hPa, 0.005001));
    CHECK(within(coldbag::boiling_point_degC(site_Pa), row.boils_degC, 0.005001));
    CHECK(within((coldbag::saturation_pressure_Pa(121.1) - site_Pa) / 1000, row.gauge_kPa_for_121_1_degC,
                 0.05001));
  }
}

TEST_CASE("the boiling points of a calibration check by elevation") {
  // Derived from p = 101.325 (1 - 2.25577e-5 h)^5.25588 kPa, which takes elevation for geopotential height;
  // that and the printed digits are the tolerance.
  struct Row {
    double elevation_m, pressure_kPa, boils_degC, pressure_tolerance, boils_tolerance;
  };
  const Row rows[] = {
      {0, 101.33, 99.97, 0.0051, 0.005},  {250, 98.36, 99.14, 0.006, 0.006},
      {500, 95.46, 98.31, 0.006, 0.006},  {750, 92.63, 97.48, 0.007, 0.006},
      {1000, 89.87, 96.65, 0.007, 0.006}, {1250, 87.18, 95.82, 0.008, 0.007},
      {1500, 84.56, 94.98, 0.009, 0.008}, {1750, 81.99, 94.15, 0.011, 0.009},
      {2000, 79.50, 93.32, 0.012, 0.009}, {2500, 74.68, 91.64, 0.015, 0.012},
      {3000, 70.11, 89.97, 0.018, 0.015},
  };
  for (const Row& row : rows) {
    CAPTURE(row.elevation_m);
    const double site_Pa = coldbag::standard_pressure_Pa(row.elevation_m);
    CHECK(within(site_Pa / 1000, row.pressure_kPa, row.pressure_tolerance));
    CHECK(within(coldbag::boiling_point_degC(site_Pa), row.boils_degC, row.boils_tolerance));
  }
}

TEST_CASE("a day's weather moves the boiling point about half a kelvin either way") {
  // Derived: 20 hPa at sea level is about 0.55 K.
  const double fair = coldbag::boiling_point_degC(coldbag::site_pressure_from_sea_level_Pa(101325 + 2000, 0));
  const double foul = coldbag::boiling_point_degC(coldbag::site_pressure_from_sea_level_Pa(101325 - 2000, 0));
  CHECK(within((fair - foul) / 2, 0.55, 0.005));
}

TEST_CASE("a sea-level barometer of one atmosphere gives the standard pressure of the site") {
  for (const double altitude_m : {-500.0, 0.0, 840.0, 9000.0}) {
    CAPTURE(altitude_m);
    CHECK(within(coldbag::site_pressure_from_sea_level_Pa(101325, altitude_m),
                 coldbag::standard_pressure_Pa(altitude_m), 0, 1e-15));
  }
  // Twice as far from one atmosphere at the sea is the same share above at the site.
  CHECK(within(coldbag::site_pressure_from_sea_level_Pa(1.01 * 101325, 2000), 1.01 * 79501, 0.6));
}

TEST_CASE("altitude to pressure and back is the same altitude") {
  for (double altitude_m = -500; altitude_m <= 9000; altitude_m += 125) {
    CAPTURE(altitude_m);
    CHECK(
        within(coldbag::altitude_of_pressure_m(coldbag::standard_pressure_Pa(altitude_m)), altitude_m, 1e-7));
  }
}

TEST_CASE("geopotential height is a little below the altitude") {
  CHECK(coldbag::geopotential_height_m(0) == 0);
  CHECK(within(coldbag::geopotential_height_m(3000), 2998.585, 0.0005)); // derived, earth radius 6,356,766 m
}

TEST_CASE("altitudes and pressures outside the lower atmosphere are our fault") {
  for (const double altitude_m : {-501.0, 9001.0}) {
    CHECK_THROWS_AS((void)coldbag::standard_pressure_Pa(altitude_m), coldbag::OurFault);
    CHECK_THROWS_AS((void)coldbag::geopotential_height_m(altitude_m), coldbag::OurFault);
    CHECK_THROWS_AS((void)coldbag::site_pressure_from_sea_level_Pa(101325, altitude_m), coldbag::OurFault);
  }
  CHECK_THROWS_AS((void)coldbag::site_pressure_from_sea_level_Pa(0, 100), coldbag::OurFault);
  CHECK_THROWS_AS((void)coldbag::altitude_of_pressure_m(20'000), coldbag::OurFault);
  CHECK_THROWS_AS((void)coldbag::altitude_of_pressure_m(120'000), coldbag::OurFault);
}
