// Lethality against published worksheets and tables, and against closed forms in extended precision.
#include "kinetics/lethality.h"
#include "support/approx.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <random>
#include <string>
#include <vector>

using coldbag::LethalSum;
using coldbag::Reference;
using coldbag::test::relative_error;
using coldbag::test::within;

namespace {

struct Sample {
  double minute, temperature;
};

Reference reference(double at_degC, double z_K) {
  return {"F", at_degC, z_K, std::nullopt, std::nullopt};
}

double to_degC(double degF) {
  return (degF - 32) / 1.8;
}

double exact_F(const std::vector<Sample>& log, const Reference& ref) {
  LethalSum sum;
  for (std::size_t i = 1; i < log.size(); ++i)
    sum.add_minutes(coldbag::segment_F_minutes((log[i].minute - log[i - 1].minute) * 60,
                                               log[i - 1].temperature, log[i].temperature, ref));
  return sum.minutes();
}

double trapezoid_F(const std::vector<Sample>& log, const Reference& ref) {
  double sum = 0;
  for (std::size_t i = 1; i < log.size(); ++i)
    sum +=
        (log[i].minute - log[i - 1].minute) / 2 *
        (coldbag::lethal_rate(log[i - 1].temperature, ref) + coldbag::lethal_rate(log[i].temperature, ref));
  return sum;
}

// The closed form of a straight run in extended precision, written apart from the engine's.
long double closed_form_minutes(long double dt_s, long double t1, long double t2, long double at,
                                long double z) {
  const long double ln10 = std::log(10.0L);
  const long double a = ln10 * (t2 - t1) / z;
  return dt_s / 60 * std::exp(ln10 * (t1 - at) / z) * (a == 0 ? 1.0L : std::expm1(a) / a);
}

// Spanish-language class worksheet on food preservation ("Conservacion de alimentos"), Table 1, in a
// document-sharing library (document 423874786): no author, no date. Reference 250 F, z 18 F.
struct Printed {
  double minute, degF, rate;
};
const std::vector<Printed> worksheet = {
    {0, 140, 7.7426E-07},    {5, 140, 7.7426E-07},    {10, 140, 7.7426E-07},   {15, 140, 7.7426E-07},
    {20, 163, 1.4678E-05},   {25, 185, 0.00024484},   {30, 201, 0.00189574},   {35, 213, 0.00879923},
    {40, 224, 0.03593814},   {45, 229.4, 0.07170601}, {50, 234.5, 0.13768572}, {55, 238, 0.21544347},
    {60, 241, 0.31622777},   {65, 243.5, 0.43540047}, {70, 245, 0.52749971},   {75, 246.3, 0.62293746},
    {80, 247.3, 0.70794578}, {85, 247, 0.68129207},   {90, 245.2, 0.54116953}, {95, 223.5, 0.03371148},
    {100, 175, 6.8129E-05},  {105, 153, 4.0842E-06},
};

// University exercise "Metodo General y Ball" (Spanish), tomato sauce in a retort, in document-sharing
// libraries: no date. Reference 121.1 degC, z 10 K. Minute, retort, product.
struct Pair {
  double minute, retort_degC, product_degC;
};
const std::vector<Pair> tomato_sauce = {
    {0, 20.0, 16.4},    {5, 82.5, 28.1},    {6, 94.4, 30.4},    {8, 104.6, 55.7},   {10, 114.1, 60.3},
    {12, 115.9, 65.9},  {14, 116.1, 71.2},  {16, 116.1, 76.8},  {18, 115.5, 82.3},  {20, 114.9, 86.8},
    {22, 114.6, 89.5},  {24, 114.7, 94.2},  {26, 114.6, 96.8},  {28, 114.7, 99.3},  {30, 115.2, 102.0},
    {32, 115.4, 104.0}, {34, 115.5, 105.7}, {36, 115.5, 107.3}, {38, 115.6, 108.7}, {40, 115.5, 109.7},
    {42, 115.3, 110.6}, {44, 115.3, 111.4}, {46, 115.3, 112.0}, {48, 115.2, 112.5}, {50, 115.2, 113.0},
    {52, 115.2, 113.4}, {54, 115.2, 113.7}, {56, 115.2, 113.9}, {58, 115.3, 114.2}, {60, 115.4, 114.4},
    {62, 115.3, 114.6}, {64, 115.4, 114.7}, {66, 115.3, 114.8}, {70, 115.3, 114.9}, {74, 115.3, 115.1},
    {76, 115.2, 115.1}, {78, 32.7, 89.8},   {80, 29.0, 82.6},   {82, 29.3, 83.4},   {84, 26.5, 81.5},
    {86, 24.3, 77.4},   {90, 21.7, 66.6},
};

std::vector<Sample> worksheet_degC() {
  std::vector<Sample> log;
  for (const Printed& row : worksheet)
    log.push_back({row.minute, to_degC(row.degF)});
  return log;
}

std::vector<Sample> worksheet_degF() {
  std::vector<Sample> log;
  for (const Printed& row : worksheet)
    log.push_back({row.minute, row.degF});
  return log;
}

std::vector<Sample> product() {
  std::vector<Sample> log;
  for (const Pair& row : tomato_sauce)
    log.push_back({row.minute, row.product_degC});
  return log;
}

std::vector<Sample> retort() {
  std::vector<Sample> log;
  for (const Pair& row : tomato_sauce)
    log.push_back({row.minute, row.retort_degC});
  return log;
}

} // namespace

TEST_CASE("the worksheet's column of rates and its rectangle sum come out to the printed digits") {
  // Printed: F0 = 21.68993687 min, the sum of 5 min times each rate; rates to five figures where small.
  const Reference ref = reference(250, 18); // any unit does, as long as all three are in it
  LethalSum sum;
  for (const Printed& row : worksheet) {
    CAPTURE(row.minute);
    CHECK(relative_error(coldbag::lethal_rate(row.degF, ref), row.rate) < 2e-5);
    sum.add_minutes(5 * coldbag::lethal_rate(row.degF, ref));
  }
  CHECK(within(sum.minutes(), 21.68993687, 0.5e-8));
}

TEST_CASE("the worksheet's F of straight runs is the same in Fahrenheit and in Celsius") {
  // 20.981363: computed by hand in another program for straight runs. The worksheet prints 21.68993687 by
  // rectangles; trapezoids give 21.689925. Both credit the curve above the straight line between readings.
  CHECK(within(exact_F(worksheet_degF(), reference(250, 18)), 20.981363, 0.5e-6));
  CHECK(within(exact_F(worksheet_degC(), reference(to_degC(250), 10)), 20.981363, 0.5e-6));
  CHECK(within(trapezoid_F(worksheet_degF(), reference(250, 18)), 21.689924728, 0.5e-9));
  CHECK(within(trapezoid_F(worksheet_degC(), reference(121.1, 10)), 21.745488, 0.5e-6));
}

TEST_CASE("uneven steps: the product probe of the tomato sauce") {
  // The sheet's own total could not be read; the figures are of the printed readings, computed in another
  // program: straight runs 7.2901, trapezoids 7.4640, and 17.849 from the retort probe by mistake.
  const Reference ref = reference(121.1, 10);
  CHECK(within(exact_F(product(), ref), 7.2901, 0.5e-4));
  CHECK(within(trapezoid_F(product(), ref), 7.4640, 0.5e-4));
  CHECK(within(trapezoid_F(product(), reference(to_degC(250), 10)), 7.4450, 0.5e-4));
  CHECK(within(trapezoid_F(product(), reference(121.0, 10)), 7.6379, 0.5e-4));
  CHECK(within(trapezoid_F(retort(), ref), 17.849, 0.5e-3));
  CHECK(within(coldbag::lethal_rate(115.1, ref), 0.25119, 0.5e-5));
  // The one step from steam-off: 115.1 to 89.8 in 2 min. Trapezoids would give 0.2519.
  CHECK(within(coldbag::segment_F_minutes(120, 115.1, 89.8, ref), 0.0860, 0.5e-4));
}

TEST_CASE("a linear ramp gives the closed form, not the fence-post sum of a table") {
  // Richards' rapid method (1968) as a teaching slide in a document-sharing library prints it (document
  // 431330120): 12.549 for 100 to 121 C at 1 K a minute. That is a sum of 22 minutes' rates over a ramp of
  // 21 minutes, one bin too many. For z 10 and k(121) 2.538 a minute the integral is 10.935 (natural units).
  const double F = coldbag::segment_F_minutes(21 * 60, 100, 121, reference(121, 10));
  CHECK(within(2.538 * F, 10.935, 0.5e-3));
  CHECK(within(2.538 * F / std::log(10.0), 4.749, 0.5e-3));
  // The same in one-minute and in odd steps: straight is straight.
  LethalSum minutes;
  for (int t = 100; t < 121; ++t)
    minutes.add_minutes(coldbag::segment_F_minutes(60, t, t + 1, reference(121, 10)));
  CHECK(relative_error(minutes.minutes(), F) < 1e-14);
}

TEST_CASE("constant holds") {
  struct Row {
    double minutes, t_degC, at_degC, F_minutes, tolerance;
  };
  const Row rows[] = {
      // Note on F0 by Pistolesi and Mascherpa (1988): 15 min at 111 C is 1.5; the second is ours.
      {15, 111, 121, 1.5, 1e-13},
      {15, 124, 121, 29.929, 0.5e-3},
      // A French hospital sterilization page, no date, prints 70 from a rate rounded to 20.
      {3.5, 134, 121, 69.834, 0.5e-3},
      // Canning manual of the FAO (Fisheries Technical Paper 285, 1988), through a copy: rate 0.776 at 120 C.
      {1, 120, 121.1, 0.776, 0.5e-3},
      // 40 min at 120 C without any lag: a bound for every lagged result.
      {40, 120, 121.1, 31.05, 0.5e-2},
  };
  for (const Row& row : rows) {
    CAPTURE(row.t_degC);
    CHECK(within(
        coldbag::segment_F_minutes(row.minutes * 60, row.t_degC, row.t_degC, reference(row.at_degC, 10)),
        row.F_minutes, row.tolerance));
  }
}

TEST_CASE("rates at constant temperature, and the minutes that make F 1") {
  // Computed in another program: reference 121.1 C, z 10 K.
  struct Row {
    double t_degC, rate, rate_tolerance, minutes, minutes_tolerance;
  };
  const Row rows[] = {
      {95, 0.002455, 0.5e-6, 407.4, 0.05},   {100, 0.007762, 0.5e-6, 128.8, 0.05},
      {110, 0.07762, 0.5e-5, 12.88, 0.005},  {111, 0.09772, 0.5e-5, 10.23, 0.005},
      {115, 0.24547, 0.5e-5, 4.074, 0.0005}, {120, 0.77625, 0.5e-5, 1.288, 0.0005},
      {121.1, 1.0, 1e-15, 1.0, 1e-15},
  };
  for (const Row& row : rows) {
    CAPTURE(row.t_degC);
    const double rate = coldbag::lethal_rate(row.t_degC, reference(121.1, 10));
    CHECK(within(rate, row.rate, row.rate_tolerance));
    CHECK(within(1 / rate, row.minutes, row.minutes_tolerance));
  }
  CHECK(within(coldbag::lethal_rate(111, reference(121, 10)), 0.1, 1e-16));
  // 121.0, 121.1 and 121.11 (250 F) are all called "121": 2.33 % and 0.26 % apart.
  const double rounded = coldbag::lethal_rate(115, reference(121.0, 10));
  const double tenth = coldbag::lethal_rate(115, reference(121.1, 10));
  const double fahrenheit = coldbag::lethal_rate(115, reference(to_degC(250), 10));
  CHECK(within(rounded / tenth - 1, 0.0233, 0.5e-4));
  CHECK(within(tenth / fahrenheit - 1, 0.0026, 0.5e-4));
}

TEST_CASE("the integral over a straight run meets its closed form from 1e-13 K to 50 K") {
  for (const double z_K : {4.0, 6.9468, 10.0, 18.0}) {
    const Reference ref = reference(121.1, z_K);
    for (double step_K = 1e-13; step_K <= 50; step_K *= 1.7)
      for (const double from_degC : {60.0, 99.9, 121.1, 134.0})
        for (const double sign : {1.0, -1.0}) {
          const double to = from_degC + sign * step_K;
          CAPTURE(z_K);
          CAPTURE(step_K);
          CAPTURE(from_degC);
          const long double expected = closed_form_minutes(77, from_degC, to, 121.1, z_K);
          const long double got = coldbag::segment_F_minutes(77, from_degC, to, ref);
          CHECK(std::abs(got - expected) <= 1e-12L * expected);
        }
    const long double widest = closed_form_minutes(77, 80, 130, 121.1, z_K);
    CHECK(std::abs(coldbag::segment_F_minutes(77, 80, 130, ref) - widest) <= 1e-12L * widest);
  }
}

TEST_CASE("the rate meets extended precision over twenty z to either side") {
  for (double decades = -20; decades <= 20; decades += 0.0137) {
    const double t_degC = 121.1 + 10 * decades;
    CAPTURE(t_degC);
    const long double expected =
        std::pow(10.0L, (static_cast<long double>(t_degC) - 121.1) / 10); // 121.1 as a double, as the engine
    CHECK(std::abs(coldbag::lethal_rate(t_degC, reference(121.1, 10)) - expected) <= 2e-14L * expected);
  }
}

TEST_CASE("a straight run never earns more than the trapezoid, nor less than its colder end") {
  std::mt19937_64 random(20); // a fixed seed: the same cases at every run
  std::uniform_real_distribution<double> temperature(40, 140);
  std::uniform_real_distribution<double> seconds(0.5, 900);
  const Reference ref = reference(121.1, 10);
  for (int i = 0; i < 20000; ++i) {
    const double t1 = temperature(random);
    const double t2 = temperature(random);
    const double dt_s = seconds(random);
    const double F = coldbag::segment_F_minutes(dt_s, t1, t2, ref);
    const double r1 = coldbag::lethal_rate(t1, ref);
    const double r2 = coldbag::lethal_rate(t2, ref);
    CAPTURE(t1);
    CAPTURE(t2);
    REQUIRE(F <= dt_s / 60 * (r1 + r2) / 2 * (1 + 1e-14));
    REQUIRE(F >= dt_s / 60 * std::min(r1, r2) * (1 - 1e-14));
    REQUIRE(F == coldbag::segment_F_minutes(dt_s, t2, t1, ref));
  }
}

TEST_CASE("a cut-off splits the run at its crossing") {
  Reference low = reference(121.1, 10);
  low.lowest_degC = 100;
  // 90 to 110 C in 10 min: the second half counts.
  const long double second_half = closed_form_minutes(300, 100, 110, 121.1, 10);
  CHECK(within(coldbag::segment_F_minutes(600, 90, 110, low), static_cast<double>(second_half), 0, 1e-13));
  CHECK(within(coldbag::segment_F_minutes(600, 110, 90, low), static_cast<double>(second_half), 0, 1e-13));
  CHECK(coldbag::segment_F_minutes(600, 90, 99.9, low) == 0);
  CHECK(coldbag::lethal_rate(99.999, low) == 0);
  CHECK(coldbag::lethal_rate(100, low) > 0);
  CHECK(coldbag::segment_F_minutes(600, 100, 100, low) ==
        coldbag::segment_F_minutes(600, 100, 100, reference(121.1, 10)));
  CHECK(coldbag::segment_F_minutes(600, 104, 108, low) ==
        coldbag::segment_F_minutes(600, 104, 108, reference(121.1, 10)));

  Reference high = reference(121.1, 10);
  high.highest_degC = 121.1;
  CHECK(coldbag::lethal_rate(130, high) == 1);
  CHECK(coldbag::segment_F_minutes(600, 125, 130, high) == 10);
  // 111.1 to 131.1 C in 10 min: a ramp to the cut-off, then the rate stays 1.
  const long double ramp = closed_form_minutes(300, 111.1L, 121.1L, 121.1L, 10);
  CHECK(within(coldbag::segment_F_minutes(600, 111.1, 131.1, high), static_cast<double>(5 + ramp), 0, 1e-13));

  Reference both = high;
  both.lowest_degC = 111.1;
  // 101.1 to 131.1 C in 15 min: five minutes of nothing, five of ramp, five of 1.
  CHECK(within(coldbag::segment_F_minutes(900, 101.1, 131.1, both), static_cast<double>(5 + ramp), 0, 1e-13));
}

TEST_CASE("FSIS table for beef: one line of z 10 F gives the printed times") {
  // USDA FSIS, Appendix A (1999), 6.5-log column, from the text of the compliance guide. The entry of 150 F,
  // 67 s, is taken; the others must come out within a rounded unit of the print (minutes or seconds).
  struct Row {
    double degF, printed, unit_s;
  };
  const Row rows[] = {
      {130, 112, 60}, {131, 89, 60}, {132, 71, 60}, {133, 56, 60}, {134, 45, 60},
      {135, 36, 60},  {140, 12, 60}, {144, 5, 60},  {146, 169, 1}, {147, 134, 1},
      {148, 107, 1},  {149, 85, 1},  {152, 43, 1},  {155, 22, 1},  {157, 14, 1},
  };
  const Reference ref = reference(to_degC(150), 10 / 1.8);
  for (const Row& row : rows) {
    CAPTURE(row.degF);
    const double seconds = 67 / coldbag::lethal_rate(to_degC(row.degF), ref);
    CHECK(within(seconds / row.unit_s, row.printed, 1.0));
  }
  CHECK(within(67 / coldbag::lethal_rate(to_degC(130), ref) / 60, 111.67, 0.5e-2));
}

TEST_CASE("pasteurization units by 1.393 a degree are not those of z 7") {
  // Del Vecchio et al. (1951), read second-hand: PU = t * 1.393^(T - 60), T in C, t in minutes.
  const Reference pu = reference(60, 6.9468);
  struct Row {
    double t_degC, rate, tolerance;
  };
  const Row rows[] = {
      {58, 0.51534, 1e-5}, {60, 1, 1e-15},       {62, 1.94045, 2e-5},
      {64, 3.76534, 5e-5}, {67, 10.1779, 0.001}, {72, 53.384, 0.005},
  };
  for (const Row& row : rows) {
    CAPTURE(row.t_degC);
    CHECK(within(coldbag::lethal_rate(row.t_degC, pu), row.rate, row.tolerance));
  }
  CHECK(within(coldbag::segment_F_minutes(900, 72, 72, pu), 800.76, 0.05));
  CHECK(within(coldbag::segment_F_minutes(900, 72, 72, reference(60, 7)), 776.9, 0.05));
}

TEST_CASE("A0 counts seconds at 80 C") {
  // ISO 15883-1 annex B extracts and a hospital-sterilization society's answer page: 600 is 10 min at 80 C,
  // 1 min at 90 C or 100 min at 70 C; 3000 is 5 min at 90 C or 50 min at 80 C. The last row is ours.
  struct Row {
    double minutes, t_degC, A0_s, tolerance;
  };
  const Row rows[] = {{10, 80, 600, 1e-10}, {1, 90, 600, 1e-10},  {100, 70, 600, 1e-10},
                      {5, 90, 3000, 1e-9},  {50, 80, 3000, 1e-9}, {10, 93, 11972, 0.5}};
  Reference a0 = reference(80, 10);
  a0.lowest_degC = 65;
  for (const Row& row : rows) {
    CAPTURE(row.t_degC);
    CHECK(within(60 * coldbag::segment_F_minutes(row.minutes * 60, row.t_degC, row.t_degC, a0), row.A0_s,
                 row.tolerance));
  }
  CHECK(coldbag::segment_F_minutes(600, 60, 64.9, a0) == 0);
}
