// Pressure that a hot probe implies, flashing, burns, lifting and the force on a door, against figures from
// outside. "Computed" figures below were worked out apart from this program, with IAPWS-IF97 and constants as
// named.
#include "run/caution_tables.h"
#include "run/cautions.h"
#include "run/lifting.h"
#include "steam/atmosphere.h"
#include "steam/saturation.h"
#include "support/approx.h"

#include <doctest/doctest.h>

#include <numbers>

using namespace coldbag;
using coldbag::test::within;

namespace {

constexpr double Pa_per_psi = 6894.757;

const CautionTables& tables() {
  static const CautionTables all = read_caution_tables(TableFiles::built_in());
  return all;
}

} // namespace

TEST_CASE("a probe over the boiling point implies the pressure of saturated steam") {
  // Computed with IF97 and the standard atmosphere; tolerance: the printed digit.
  struct Row {
    double altitude_m, probe_degC, kPa, psi;
  };
  for (const Row& row : {Row{1500, 100, 16.9, 2.4}, Row{0, 105, 19.6, 2.8}, Row{0, 121.1, 104.4, 15.1},
                         Row{0, 110, 42.05, 6.10}, Row{1500, 121.1, 121.13, 17.57}}) {
    CAPTURE(row.altitude_m);
    CAPTURE(row.probe_degC);
    const double gauge_Pa = saturation_pressure_Pa(row.probe_degC) - standard_pressure_Pa(row.altitude_m);
    CHECK(within(gauge_Pa / 1000, row.kPa, 0.1));
    CHECK(within(gauge_Pa / Pa_per_psi, row.psi, 0.06));
  }
  CHECK(within(boiling_point_degC(standard_pressure_Pa(1500)), 94.98, 0.02));
}

TEST_CASE("a part of hot water flashes when its pressure is let off") {
  // Computed apart with cp 4.23 kJ/kg K and a heat of evaporation of 2256.5 kJ/kg; to 0.05 %.
  struct Row {
    double from_degC, percent;
  };
  for (const Row& row : {Row{105, 0.9}, Row{110, 1.9}, Row{115, 2.8}, Row{121.1, 4.0}}) {
    CAPTURE(row.from_degC);
    CHECK(within(100 * flash_fraction(row.from_degC, 100), row.percent, 0.06));
  }
  CHECK(flash_fraction(99, 100) == 0);
  // Steam at 100 C fills 1.673 m3/kg: 0.066 m3 of it for each kg of water from 121.1 C.
  CHECK(within(flash_fraction(121.1, 100) * 1.673, 0.066, 0.0005));
}

TEST_CASE("the table of burns gives its own rows back") {
  // 44 C: Moritz and Henriques 1947, second-hand; 45 to 60 C: scald table of plumbing-safety bodies, seen;
  // from 63 C: table of the burn-institute type, seen.
  struct Row {
    double degC;
    std::optional<double> second_s, third_s;
  };
  const Row rows[] = {{44, 6 * 3600, {}},
                      {45, 2 * 3600, 3 * 3600},
                      {47, 20 * 60, 45 * 60},
                      {48, 15 * 60, 20 * 60},
                      {49, 8 * 60, 10 * 60},
                      {51, 2 * 60, 4.2 * 60},
                      {55, 17, 30},
                      {60, 3, 5},
                      {63, {}, 3},
                      {66, {}, 1.5},
                      {68, {}, 1}};
  for (const Row& row : rows) {
    CAPTURE(row.degC);
    const auto second_s = time_to_burn_s(tables().burns, row.degC);
    CHECK(second_s.has_value() == row.second_s.has_value());
    if (row.second_s) CHECK(within(*second_s, *row.second_s, 0, 1e-12));
    if (row.third_s)
      CHECK(within(time_to_deep_burn_s(tables().burns, row.degC).value(), *row.third_s, 0, 1e-12));
  }
}

TEST_CASE("between its rows the table of burns runs straight in the logarithm, and never gets slower above") {
  const auto& burns = tables().burns;
  CHECK(within(time_to_deep_burn_s(burns, 57.5).value(), std::sqrt(30.0 * 5), 1e-9));
  CHECK(within(time_to_burn_s(burns, 53).value(), std::sqrt(120.0 * 17), 1e-9));
  CHECK_FALSE(time_to_deep_burn_s(burns, 43.9));
  CHECK(time_to_deep_burn_s(burns, 95).value() == 1);
  for (double degC = 45; degC < 70; degC += 0.1)
    CHECK(time_to_deep_burn_s(burns, degC + 0.1).value() <= time_to_deep_burn_s(burns, degC).value());
}

TEST_CASE("the lifting equation gives the weights that its multipliers make") {
  // Revised NIOSH equation, Publ. 94-110 (rev. 2021); figures computed apart from this program.
  struct Row {
    LiftPosture posture;
    double kg;
  };
  const Row rows[] = {{{25, 75, 25, 0, 0.2, 3600, "good"}, 23.0},
                      {{40, 30, 70, 30, 1, 3600, "poor"}, 8.41},
                      {{30, 75, 50, 0, 1, 3600, "poor"}, 14.76},
                      {{45, 120, 60, 45, 3, 3600, "poor"}, 6.71}};
  for (const Row& row : rows)
    CHECK(within(recommended_weight_kg(row.posture, tables().lift_frequencies), row.kg, 0.005));
  CHECK(recommended_weight_kg({70, 75, 25, 0, 0.2, 3600, "good"}, tables().lift_frequencies) == 0);
  CHECK(recommended_weight_kg({25, 75, 25, 0, 8.5, 3600, "good"}, tables().lift_frequencies) == 0);
}

TEST_CASE("the forces on doors and lids that the safety page prints are pressure times area") {
  const auto round_kN = [](double across_m, double kPa) {
    return kPa * std::numbers::pi * across_m * across_m / 4;
  };
  CHECK(within(round_kN(1.0, 103), 81, 0.5));
  CHECK(within(0.6 * 0.9 * Pa_per_psi / 1000, 3.7, 0.05));
  CHECK(within(round_kN(1.0, 101.325), 79.6, 0.05));
  CHECK(within(round_kN(1.0, 2), 1.6, 0.05));
  // National Board (Perreira, 1980): a door of 8 ft at 150 psi bears just over one million pounds.
  CHECK(within(150 * std::numbers::pi * 96 * 96 / 4, 1085700, 100));
}
