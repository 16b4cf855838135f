// Air left in steam against published figures: steam takes the temperature of its own share of the pressure.
#include "quantity/unit.h"
#include "steam/saturation.h"
#include "support/approx.h"

#include <doctest/doctest.h>

#include <array>
#include <optional>

using namespace coldbag;
using coldbag::test::within;

namespace {

constexpr double one_atm_Pa = 101325;

double at_15_psi_gauge_Pa() {
  return one_atm_Pa + 15 * find_unit("psi", Dimension::pressure)->factor;
}

/// Dalton: the steam's pressure is the total less the air's, whose share by volume is its share of the
/// pressure.
double mixture_degC(double pressure_Pa, double air_by_volume) {
  return saturation_temperature_degC(pressure_Pa * (1 - air_by_volume));
}

/// Share of air that brings the steam so far under the saturation temperature of the pressure.
double air_at_shortfall(double pressure_Pa, double short_K) {
  return 1 - saturation_pressure_Pa(saturation_temperature_degC(pressure_Pa) - short_K) / pressure_Pa;
}

} // namespace

TEST_CASE("air in steam lowers its temperature as Dalton's law says") {
  // Derived from IAPWS R7-97(2012), to half the last digit. Pressures: 1 atm; 15 psi gauge; 121 degC
  // saturated.
  struct Row {
    double air_percent;
    std::array<double, 3> degC;
  };
  const Row rows[] = {
      {0, {99.97, 120.95, 121.00}},   {1, {99.69, 120.63, 120.68}},  {2, {99.41, 120.31, 120.36}},
      {3.5, {98.98, 119.82, 119.87}}, {5, {98.54, 119.33, 119.38}},  {10, {97.05, 117.63, 117.69}},
      {15, {95.48, 115.86, 115.91}},  {20, {93.84, 114.00, 114.06}}, {30, {90.28, 109.98, 110.03}},
      {40, {86.26, 105.46, 105.50}},  {50, {81.64, 100.26, 100.30}},
  };
  const std::array<double, 3> pressure_Pa{one_atm_Pa, 204.7e3, saturation_pressure_Pa(121)};
  for (const Row& row : rows) {
    CAPTURE(row.air_percent);
    for (std::size_t i = 0; i < pressure_Pa.size(); ++i) {
      CAPTURE(pressure_Pa[i]);
      CHECK(within(mixture_degC(pressure_Pa[i], row.air_percent / 100), row.degC[i], 0.005));
    }
  }
}

TEST_CASE("how much air a temperature under saturation betrays") {
  // Derived likewise, % by volume at 1 atm and at 205 kPa.
  struct Row {
    double short_K, at_one_atm_percent, at_205_kPa_percent;
  };
  const Row rows[] = {{2, 6.9, 6.1}, {1, 3.5, 3.1}, {0.5, 1.8, 1.6}};
  for (const Row& row : rows) {
    CAPTURE(row.short_K);
    CHECK(within(100 * air_at_shortfall(one_atm_Pa, row.short_K), row.at_one_atm_percent, 0.05));
    CHECK(within(100 * air_at_shortfall(205e3, row.short_K), row.at_205_kPa_percent, 0.05));
  }
}

TEST_CASE("the textbook table of a vessel at 15 psi gauge from which the air was let out in part") {
  // Textbooks of microbiology: with all air out 121 degC, two thirds 115, half 112, a third 109, none 100.
  // Seen on a teaching page for the first and third row; the rest from memory. It counts the air that stays
  // at its cold pressure, 1 atm times what is left. Printed to whole degrees; the last row's 100 is not met,
  // it comes to 100.55. Air that warms from 20 degC with the steam leaves less room for it (last column,
  // derived): the table is optimistic.
  struct Row {
    double air_left;
    std::optional<double> printed_degC;
    double recomputed_degC, warmed_degC;
  };
  const Row rows[] = {
      {0, 121, 120.95, 120.95},       {1.0 / 3, 115, 115.32, 113.34},   {0.5, 112, 112.16, 109.02},
      {2.0 / 3, 109, 108.69, 104.25}, {1, std::nullopt, 100.55, 92.88},
  };
  for (const Row& row : rows) {
    CAPTURE(row.air_left);
    const double cold_air_Pa = row.air_left * one_atm_Pa;
    const double t_degC = saturation_temperature_degC(at_15_psi_gauge_Pa() - cold_air_Pa);
    if (row.printed_degC) CHECK(within(t_degC, *row.printed_degC, 0.5));
    CHECK(within(t_degC, row.recomputed_degC, 0.005));
    double warmed_degC = t_degC;
    for (int i = 0; i < 100; ++i)
      warmed_degC = saturation_temperature_degC(at_15_psi_gauge_Pa() -
                                                cold_air_Pa * (warmed_degC + 273.15) / (20 + 273.15));
    CHECK(within(warmed_degC, row.warmed_degC, 0.005));
  }
}
