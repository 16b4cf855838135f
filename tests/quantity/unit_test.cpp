#include "quantity/unit.h"

#include "support/approx.h"

#include <doctest/doctest.h>

#include <array>
#include <set>
#include <string>
#include <utility>

using namespace coldbag;
using coldbag::test::relative_error;

namespace {

struct Published {
  std::string_view symbol;
  Dimension dimension;
  double factor;
};

// NIST SP 811 (2008), appendix B.8, as the SysML v2 library USCustomaryUnits restates it.
constexpr std::array seen{
    Published{"Btu", Dimension::energy, 1.055056e3},    Published{"in", Dimension::length, 2.54e-2},
    Published{"ft", Dimension::length, 3.048e-1},       Published{"gal", Dimension::volume, 3.785412e-3},
    Published{"inHg", Dimension::pressure, 3.386389e3}, Published{"boiler hp", Dimension::power, 9.8095e3},
};

// NIST SP 811 (2008), appendix B.8, from memory.
constexpr std::array remembered{
    Published{"lb", Dimension::mass, 4.535924e-1},
    Published{"oz", Dimension::mass, 2.834952e-2},
    Published{"psi", Dimension::pressure, 6.894757e3},
    Published{"atm", Dimension::pressure, 1.01325e5},
    Published{"mmHg", Dimension::pressure, 1.333224e2},
    Published{"kgf/cm2", Dimension::pressure, 9.80665e4},
    Published{"ft2", Dimension::area, 9.290304e-2},
    Published{"in2", Dimension::area, 6.4516e-4},
    Published{"ft3", Dimension::volume, 2.831685e-2},
    Published{"Btu/h", Dimension::power, 2.930711e-1},
    Published{"kWh", Dimension::energy, 3.6e6},
    Published{"lb/h", Dimension::mass_rate, 1.259979e-4},
    Published{"Btu/(h ft2 F)", Dimension::transmittance, 5.678263},
};

double factor_of(std::string_view symbol, Dimension dimension) {
  const Unit* unit = find_unit(symbol, dimension);
  REQUIRE_MESSAGE(unit != nullptr, std::string{symbol});
  return unit->factor;
}

double inside(double written, std::string_view symbol, Dimension dimension) {
  const Unit* unit = find_unit(symbol, dimension);
  REQUIRE_MESSAGE(unit != nullptr, std::string{symbol});
  return inside_value(*unit, written);
}

} // namespace

TEST_CASE("factors agree with the published ones to their seven digits") {
  constexpr double last_digit = 5e-7; // half a step in the seventh digit of a number that begins with 1
  for (const Published& unit : seen) {
    CAPTURE(unit.symbol);
    CHECK(relative_error(factor_of(unit.symbol, unit.dimension), unit.factor) < last_digit);
  }
  for (const Published& unit : remembered) {
    CAPTURE(unit.symbol);
    CHECK(relative_error(factor_of(unit.symbol, unit.dimension), unit.factor) < last_digit);
  }
}

TEST_CASE("derived factors follow from the exact ones") {
  const double lb = factor_of("lb", Dimension::mass);
  const double in = factor_of("in", Dimension::length);
  CHECK(relative_error(factor_of("psi", Dimension::pressure), lb * 9.80665 / (in * in)) < 1e-13);
  CHECK(relative_error(factor_of("gal", Dimension::volume), 231 * in * in * in) < 1e-14);
  // The International Table Btu holds the IT calorie's 2326 J/kg K to the pound and the degree F.
  CHECK(relative_error(factor_of("Btu", Dimension::energy), 2326 * lb) < 1e-12);
  // A boiler horsepower raises 34.5 lb of steam an hour from water at 212 F (ASME, from memory); with a
  // latent heat of 970.3 Btu/lb (steam tables, from memory) the two agree to a part in five thousand.
  const double steam_W = 34.5 * 970.3 * factor_of("Btu/h", Dimension::power);
  CHECK(relative_error(factor_of("boiler hp", Dimension::power), steam_W) < 2e-4);
}

TEST_CASE("fixed points of the temperature scales are exact") {
  CHECK(inside(32, "F", Dimension::temperature) == 0);
  CHECK(inside(212, "F", Dimension::temperature) == 100);
  CHECK(inside(-40, "F", Dimension::temperature) == -40);
  CHECK(inside(250, "F", Dimension::temperature) == 1090.0 / 9.0);
  for (int ninths = -20; ninths <= 60; ++ninths) {
    REQUIRE(inside(32 + 9 * ninths, "F", Dimension::temperature) == 5 * ninths);
  }
  CHECK(inside(373.15, "K", Dimension::temperature) == 100);
  CHECK(inside(0, "K", Dimension::temperature) == -273.15);
  CHECK(inside(9, "F", Dimension::temperature_difference) == 5);
  CHECK(inside(2.5, "C", Dimension::temperature_difference) == 2.5);
}

TEST_CASE("a decimal share of a unit is rounded once") {
  for (int i = 1; i <= 1000; ++i) {
    REQUIRE(inside(i, "%", Dimension::fraction) == i / 100.0);
    REQUIRE(inside(i, "mm", Dimension::length) == i / 1000.0);
    REQUIRE(inside(i, "mL", Dimension::volume) == i / 1e6);
  }
}

TEST_CASE("the factor of the table and the value inside say the same") {
  for (const Unit& unit : all_units()) {
    CAPTURE(unit.symbol);
    for (const double written : {-7.0, 0.0, 1.0, 12.5, 1234.0}) {
      const double direct = written * unit.factor + unit.offset;
      CHECK(test::within(inside_value(unit, written), direct, 1e-12, 1e-14));
    }
  }
}

TEST_CASE("spelling is forgiven") {
  const std::array<std::pair<std::string_view, std::string_view>, 12> temperatures{{
      {"C", "C"},
      {"c", "C"},
      {"°C", "C"},
      {"degC", "C"},
      {"deg C", "C"},
      {"degrees C", "C"},
      {"Celsius", "C"},
      {"℃", "C"},
      {"ºC", "C"},
      {"° F", "F"},
      {"℉", "F"},
      {"kelvin", "K"},
  }};
  for (const auto& spelling : temperatures) {
    CAPTURE(spelling.first);
    const Unit* unit = find_unit(spelling.first, Dimension::temperature);
    REQUIRE(unit != nullptr);
    CHECK(unit->symbol == spelling.second);
  }
  CHECK(find_unit("lbs", Dimension::mass) == find_unit("lb", Dimension::mass));
  CHECK(find_unit("Pounds", Dimension::mass) == find_unit("lb", Dimension::mass));
  CHECK(find_unit("hours", Dimension::duration) == find_unit("h", Dimension::duration));
  CHECK(find_unit("MIN", Dimension::duration) == find_unit("min", Dimension::duration));
  CHECK(find_unit("KG", Dimension::mass) == find_unit("kg", Dimension::mass));
  CHECK(find_unit("m³", Dimension::volume) == find_unit("m3", Dimension::volume));
  CHECK(find_unit("m^3", Dimension::volume) == find_unit("m3", Dimension::volume));
  CHECK(find_unit("US gal", Dimension::volume) == find_unit("gal", Dimension::volume));
  CHECK(find_unit("sq ft", Dimension::area) == find_unit("ft2", Dimension::area));
  CHECK(find_unit("BTU/hr", Dimension::power) == find_unit("Btu/h", Dimension::power));
  CHECK(find_unit("boiler horsepower", Dimension::power) == find_unit("boiler hp", Dimension::power));
  CHECK(find_unit("W/(m²·K)", Dimension::transmittance) == find_unit("W/m2K", Dimension::transmittance));
  CHECK(find_unit("BTU/hr·ft²·°F", Dimension::transmittance) ==
        find_unit("Btu/h ft2 F", Dimension::transmittance));
  CHECK(find_unit("PSI", Dimension::pressure) == find_unit("psi", Dimension::pressure));
}

TEST_CASE("letters that change the meaning are not folded") {
  CHECK(find_unit("Mm", Dimension::length) == nullptr);
  CHECK(find_unit("mm", Dimension::length) != nullptr);
  CHECK(find_unit("mPa", Dimension::pressure) == nullptr);
  CHECK(find_unit("mW", Dimension::power) == nullptr);
  CHECK(find_unit("Mg", Dimension::mass) == nullptr);
  CHECK(find_unit("mg", Dimension::mass) == nullptr);
}

TEST_CASE("a bare horsepower is refused, for it has two meanings on a boiler") {
  CHECK(find_unit("hp", Dimension::power) == nullptr);
  CHECK(find_unit("BHP", Dimension::power) == nullptr);
}

TEST_CASE("a unit of another dimension is not found") {
  CHECK(find_unit("kg", Dimension::length) == nullptr);
  CHECK(find_unit("m", Dimension::duration) == nullptr);
  CHECK(find_unit("", Dimension::mass) == nullptr);
  CHECK(find_unit("deg", Dimension::temperature) == nullptr);
}

TEST_CASE("no two units of a dimension share a symbol, and each finds itself") {
  std::set<std::pair<Dimension, std::string_view>> known;
  for (const Unit& unit : all_units()) {
    CAPTURE(unit.symbol);
    CHECK(known.emplace(unit.dimension, unit.symbol).second);
    CHECK(find_unit(unit.symbol, unit.dimension) == &unit);
    CHECK(unit.factor > 0);
  }
}

TEST_CASE("every unit named in a remedy is one that can be read") {
  for (const Unit& unit : all_units()) {
    std::string names{units_to_name(unit.dimension)};
    REQUIRE_FALSE(names.empty());
    const auto last = names.find(" or ");
    if (last != std::string::npos) names.replace(last, 4, ", ");
    for (std::size_t at = 0; at < names.size();) {
      const auto comma = std::min(names.find(", ", at), names.size());
      const std::string name = names.substr(at, comma - at);
      CAPTURE(name);
      CHECK(find_unit(name, unit.dimension) != nullptr);
      at = comma + 2;
    }
  }
}
