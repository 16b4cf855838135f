#include "quantity/print.h"

#include "errors/our_fault.h"
#include "quantity/parse.h"
#include "support/approx.h"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>
#include <random>
#include <string>

using namespace coldbag;

namespace {

constexpr Sense senses[] = {Sense::at_least, Sense::at_most, Sense::below};

bool meets(double value, double required, Sense sense) {
  if (sense == Sense::at_least) return value >= required;
  return sense == Sense::at_most ? value <= required : value < required;
}

std::size_t decimals_of(const std::string& text) {
  const auto point = text.find('.');
  return point == std::string::npos ? 0 : text.size() - point - 1;
}

/// A requirement as people write it, and a value that lies near it: on it, a hair off, or a few steps off.
struct Pair {
  double value;
  double required;
};

Pair near_pair(std::mt19937_64& random, int decimals) {
  const double step = std::pow(10.0, -decimals);
  const double required =
      static_cast<double>(std::uniform_int_distribution<int>{-20'000, 20'000}(random)) / 100;
  const double size = std::pow(10.0, std::uniform_real_distribution<double>{-9, 0.5}(random));
  const int side = std::uniform_int_distribution<int>{-1, 1}(random);
  return {required + side * size * step, required};
}

} // namespace

TEST_CASE("fixed decimals round the decimal value half to even") {
  CHECK(print_fixed(96.25, 1) == "96.2");
  CHECK(print_fixed(96.35, 1) == "96.4");
  CHECK(print_fixed(0.15, 1) == "0.2"); // 0.15 is held as a little less, and would go down
  CHECK(print_fixed(2.675, 2) == "2.68");
  CHECK(print_fixed(2.665, 2) == "2.66");
  CHECK(print_fixed(0.5, 0) == "0");
  CHECK(print_fixed(1.5, 0) == "2");
  CHECK(print_fixed(0.50001, 0) == "1");
  CHECK(print_fixed(99.96, 1) == "100.0");
  CHECK(print_fixed(-99.96, 1) == "-100.0");
  CHECK(print_fixed(3, 2) == "3.00");
  CHECK(print_fixed(1e-9, 3) == "0.000");
  CHECK(print_fixed(1e21, 0) == "1000000000000000000000");
}

TEST_CASE("nothing is printed as minus zero") {
  CHECK(print_fixed(-0.0, 1) == "0.0");
  CHECK(print_fixed(-0.04, 1) == "0.0");
  CHECK(print_fixed(-0.4, 0) == "0");
  CHECK(print_fixed(-0.06, 1) == "-0.1");
}

TEST_CASE("a number that is none is our fault") {
  CHECK_THROWS_AS((void)print_fixed(std::numeric_limits<double>::quiet_NaN(), 1), OurFault);
  CHECK_THROWS_AS((void)print_fixed(std::numeric_limits<double>::infinity(), 1), OurFault);
  CHECK_THROWS_AS((void)print_fixed(1, -1), OurFault);
}

TEST_CASE("a value that misses is cut, not rounded onto what is required") {
  CHECK(print_against(89.96, 90, Sense::at_least, 1) == "89.9");
  CHECK(print_against(89.94, 90, Sense::at_least, 1) == "89.9");
  CHECK(print_against(90, 90, Sense::at_least, 1) == "90.0");
  CHECK(print_against(89.999999999, 90, Sense::at_least, 1) == "89.9");
  CHECK(print_against(0.504, 0.5, Sense::at_most, 2) == "0.51");
  CHECK(print_against(90, 90, Sense::below, 1) == "90.0");
  CHECK(print_against(-0.01, 0, Sense::at_least, 1) == "-0.1");
}

TEST_CASE("decimals are raised where the side would not show") {
  CHECK(print_against(89.97, 90, Sense::below, 1) == "89.97");
  CHECK(print_against(90.04, 90.04, Sense::at_least, 1) == "90.04");
  CHECK(print_against(90.0, 90.04, Sense::at_least, 1) == "90.00"); // both would read 90.0
  CHECK(print_against(90.0, 90.04, Sense::at_least, 0) == "90.00");
}

TEST_CASE("a miss is never shown as met") {
  std::mt19937_64 random{1};
  int missed = 0;
  for (int i = 0; i < 60'000; ++i) {
    const int decimals = i % 4;
    const Pair pair = near_pair(random, decimals);
    const double value = pair.value;
    const double required = pair.required;
    const Sense sense = senses[i % 3];
    const std::string text = print_against(value, required, sense, decimals);
    CAPTURE(value);
    CAPTURE(required);
    CAPTURE(text);
    const auto shown = parse_number(text);
    REQUIRE(shown);
    REQUIRE(decimals_of(text) <= 6);
    REQUIRE(test::within(*shown, value, std::pow(10.0, -decimals)));
    if (meets(value, required, sense)) continue;
    ++missed;
    REQUIRE_FALSE(meets(*shown, required, sense));
  }
  CHECK(missed > 10'000);
}

TEST_CASE("what is met shows as met wherever six decimals can tell") {
  std::mt19937_64 random{2};
  for (int i = 0; i < 30'000; ++i) {
    const int decimals = i % 4;
    const Pair pair = near_pair(random, decimals);
    const double value = pair.value;
    const double required = pair.required;
    const Sense sense = senses[i % 3];
    if (!meets(value, required, sense) || (value != required && std::abs(value - required) < 1e-6)) continue;
    const std::string text = print_against(value, required, sense, decimals);
    CAPTURE(value);
    CAPTURE(required);
    CAPTURE(text);
    REQUIRE(meets(parse_number(text).value(), required, sense));
  }
}

TEST_CASE("durations are told in the words of a kitchen clock") {
  CHECK(print_duration(44'400) == "12 h 20 min");
  CHECK(print_duration(43'200) == "12 h");
  CHECK(print_duration(2'700) == "45 min");
  CHECK(print_duration(90) == "1 min 30 s");
  CHECK(print_duration(60) == "1 min");
  CHECK(print_duration(45) == "45 s");
  CHECK(print_duration(0) == "0 min");
  CHECK(print_duration(0.2) == "0 min");
  CHECK(print_duration(599.4) == "9 min 59 s");
  CHECK(print_duration(599.6) == "10 min");
  CHECK(print_duration(629) == "10 min");
  CHECK(print_duration(3'599) == "1 h");
  CHECK(print_duration(100'000) == "27 h 47 min");
  CHECK_THROWS_AS((void)print_duration(-1), OurFault);
}

TEST_CASE("a duration that misses is cut, not rounded onto what is required") {
  CHECK(print_duration_against(2'699, 2'700, Sense::at_least) == "44 min");
  CHECK(print_duration_against(2'700, 2'700, Sense::at_least) == "45 min");
  CHECK(print_duration_against(43'199.9, 43'200, Sense::at_least) == "11 h 59 min");
  CHECK(print_duration_against(599.9, 600, Sense::at_least) == "9 min 59 s");
  CHECK(print_duration_against(2'701, 2'700, Sense::at_most) == "46 min");
  CHECK(print_duration_against(2'702, 2'705, Sense::at_least) == "45 min 2 s"); // both would read 45 min
  CHECK(print_duration_against(2'708, 2'705, Sense::at_least) == "45 min 8 s");
}

TEST_CASE("a duration that misses is never shown as met") {
  std::mt19937_64 random{3};
  int missed = 0;
  for (int i = 0; i < 30'000; ++i) {
    const double required_s = std::uniform_int_distribution<int>{0, 100'000}(random);
    const double away_s = std::pow(10.0, std::uniform_real_distribution<double>{-6, 2.5}(random));
    const double seconds = std::max(0.0, required_s + (i % 2 == 0 ? away_s : -away_s));
    const Sense sense = senses[i % 3];
    const std::string text = print_duration_against(seconds, required_s, sense);
    CAPTURE(seconds);
    CAPTURE(required_s);
    CAPTURE(text);
    const Parsed shown = parse_quantity(text, Dimension::duration);
    REQUIRE(shown.value);
    REQUIRE(test::within(*shown.value, seconds, 60));
    if (meets(seconds, required_s, sense)) continue;
    ++missed;
    REQUIRE_FALSE(meets(*shown.value, required_s, sense));
  }
  CHECK(missed > 5'000);
}

TEST_CASE("a wait is rounded up to five minutes") {
  CHECK(print_duration_up(0) == "0 min");
  CHECK(print_duration_up(1) == "5 min");
  CHECK(print_duration_up(300) == "5 min");
  CHECK(print_duration_up(300.0000000001) == "5 min");
  CHECK(print_duration_up(301) == "10 min");
  CHECK(print_duration_up(3'590) == "1 h");
  CHECK(print_duration_up(-5) == "0 min");
}

TEST_CASE("temperatures are told in the farm's unit") {
  CHECK(print_temperature(96.24, UnitSystem::metric) == "96.2 C");
  CHECK(print_temperature(96.24, UnitSystem::us) == "205.2 F");
  CHECK(print_temperature(100, UnitSystem::us, 0) == "212 F");
  CHECK(print_temperature_difference(2, UnitSystem::metric) == "2.0 K");
  CHECK(print_temperature_difference(2, UnitSystem::us) == "3.6 F");
}

TEST_CASE("a setpoint is told in both units") {
  CHECK(print_setpoint(88, UnitSystem::metric) == "88 C (190 F)");
  CHECK(print_setpoint(87.5, UnitSystem::metric) == "87.5 C (190 F)");
  CHECK(print_setpoint(100, UnitSystem::us) == "212 F (100 C)");
}

TEST_CASE("altitude, pressure and mass are told in the farm's unit") {
  CHECK(print_altitude(1'150, UnitSystem::metric) == "1,150 m");
  CHECK(print_altitude(1'150, UnitSystem::us) == "3,773 ft");
  CHECK(print_altitude(85, UnitSystem::metric) == "85 m");
  CHECK(print_altitude(-120, UnitSystem::metric) == "-120 m");
  CHECK(print_altitude(-1'120, UnitSystem::metric) == "-1,120 m");
  CHECK(print_altitude(1'234'567, UnitSystem::metric) == "1,234,567 m");
  CHECK(print_length(0.2, UnitSystem::metric) == "20 cm");
  CHECK(print_length(0.1318, UnitSystem::metric) == "13.2 cm");
  CHECK(print_length(0.2032, UnitSystem::us) == "8 in");
  CHECK(print_pressure(16'880, UnitSystem::metric) == "16.9 kPa (2.4 psi)");
  CHECK(print_pressure(16'880, UnitSystem::us) == "2.4 psi (16.9 kPa)");
  CHECK(print_mass(2.3, UnitSystem::metric) == "2.3 kg");
  CHECK(print_mass(2.26796185, UnitSystem::us) == "5.0 lb");
  CHECK(print_mass(1'234.5, UnitSystem::metric) == "1,234 kg");
}
