#include "quantity/parse.h"

#include "support/approx.h"

#include <doctest/doctest.h>

#include <array>
#include <string>

using namespace coldbag;
using coldbag::test::within;

namespace {

struct Read {
  std::string_view text;
  Dimension dimension;
  double value;
};

constexpr std::array reads{
    Read{"5 lb", Dimension::mass, 2.26796185},
    Read{"5lb", Dimension::mass, 2.26796185},
    Read{"  5   lb  ", Dimension::mass, 2.26796185},
    Read{"5 lb 4 oz", Dimension::mass, 5.25 * 0.45359237},
    Read{"5lb4oz", Dimension::mass, 5.25 * 0.45359237},
    Read{"2.3 kg", Dimension::mass, 2.3},
    Read{"+2.3e0 kg", Dimension::mass, 2.3},
    Read{"12 h 20 min", Dimension::duration, 44'400},
    Read{"12h20min", Dimension::duration, 44'400},
    Read{"12 hours 20 minutes 30 seconds", Dimension::duration, 44'430},
    Read{"90 min", Dimension::duration, 5'400},
    Read{"1.5 h", Dimension::duration, 5'400},
    Read{"1 d 2 h", Dimension::duration, 93'600},
    Read{"5 ft 6 in", Dimension::length, 66 * 0.0254},
    Read{"1 m3 20 L", Dimension::volume, 1.02},
    Read{"35 ft3", Dimension::volume, 35 * 0.028316846592},
    Read{"55 US gal", Dimension::volume, 55 * 3.785411784e-3},
    Read{"212 F", Dimension::temperature, 100},
    Read{"-40 °F", Dimension::temperature, -40},
    Read{"368.15 K", Dimension::temperature, 95},
    Read{"95 deg C", Dimension::temperature, 95},
    Read{"0.9 F", Dimension::temperature_difference, 0.5},
    Read{"0.5 K", Dimension::temperature_difference, 0.5},
    Read{"62 %", Dimension::fraction, 0.62},
    Read{"62%", Dimension::fraction, 0.62},
    Read{"0.62", Dimension::fraction, 0.62},
    Read{"1", Dimension::fraction, 1},
    Read{"0", Dimension::fraction, 0},
    Read{"100 percent", Dimension::fraction, 1},
    Read{"12 kW", Dimension::power, 12'000},
    Read{"2 boiler hp", Dimension::power, 19'619},
    Read{"40 kWh", Dimension::energy, 1.44e8},
    Read{"36 kg/h", Dimension::mass_rate, 0.01},
    Read{"0.8 W/m2K", Dimension::transmittance, 0.8},
    Read{"0.8 W/(m2 K)", Dimension::transmittance, 0.8},
    Read{"1 gal/h", Dimension::fuel_rate, 3.785411784e-3 / 3600},
    Read{"15 psi", Dimension::pressure, 15 * 6894.757293168},
};

struct Refusal {
  std::string_view text;
  Dimension dimension;
  std::string_view problem;
};

constexpr std::array refusals{
    Refusal{"", Dimension::mass, "nothing is written"},
    Refusal{"   ", Dimension::mass, "nothing is written"},
    Refusal{"5", Dimension::mass, "\"5\" has no unit"},
    Refusal{"95", Dimension::temperature, "\"95\" has no unit"},
    Refusal{"1 h 30", Dimension::duration, "\"30\" has no unit"},
    Refusal{"5 stone", Dimension::mass, "\"stone\" is not a unit of mass"},
    Refusal{"5 kg", Dimension::duration, "\"kg\" is not a unit of time"},
    Refusal{"3 m", Dimension::duration, "\"m\" is not a unit of time"},
    Refusal{"20 hp", Dimension::power, "\"hp\" is not a unit of power"},
    Refusal{"15 psig", Dimension::pressure, "\"psig\" is not a unit of pressure"},
    Refusal{"kg", Dimension::mass, "\"kg\" does not begin with a number"},
    Refusal{"nan kg", Dimension::mass, "\"nan kg\" does not begin with a number"},
    Refusal{"inf kg", Dimension::mass, "\"inf kg\" does not begin with a number"},
    Refusal{"-inf kg", Dimension::mass, "\"-inf kg\" does not begin with a number"},
    Refusal{"+-5 kg", Dimension::mass, "\"+-5 kg\" does not begin with a number"},
    Refusal{"?", Dimension::mass, "\"?\" does not begin with a number"},
    Refusal{"1e999 kg", Dimension::mass, "\"1e999 kg\" is too large or too small"},
    Refusal{"1e308 km", Dimension::length, "\"1e308 km\" is too large"},
    Refusal{"5,2 kg", Dimension::mass, "\"5,2 kg\" has a comma in its number"},
    Refusal{"1,150 m", Dimension::length, "\"1,150 m\" has a comma in its number"},
    Refusal{"30 min 1 h", Dimension::duration, "the units of \"30 min 1 h\" do not go from large to small"},
    Refusal{"1 h 2 h", Dimension::duration, "the units of \"1 h 2 h\" do not go from large to small"},
    Refusal{"1 h -30 min", Dimension::duration, "\"1 h -30 min\" has a minus sign among several parts"},
    Refusal{"-1 h 30 min", Dimension::duration, "\"-1 h 30 min\" has a minus sign among several parts"},
    Refusal{"5 kg bag", Dimension::mass, "\"kg bag\" is not a unit of mass"},
    Refusal{"5 kg 20", Dimension::mass, "\"20\" has no unit"},
    Refusal{"62", Dimension::fraction, "\"62\" has no percent sign and is not between 0 and 1"},
    Refusal{"-0.1", Dimension::fraction, "\"-0.1\" has no percent sign and is not between 0 and 1"},
    Refusal{"-300 C", Dimension::temperature, "\"-300 C\" is below absolute zero"},
    Refusal{"0x10 kg", Dimension::mass, "\"x\" is not a unit of mass"},
};

} // namespace

TEST_CASE("quantities are read into the unit inside the program") {
  for (const auto& read : reads) {
    CAPTURE(read.text);
    const Parsed parsed = parse_quantity(read.text, read.dimension);
    CAPTURE(parsed.problem);
    REQUIRE(parsed.value);
    CHECK(within(*parsed.value, read.value, 0, 1e-15));
    CHECK(parsed.problem.empty());
    CHECK(parsed.remedy.empty());
  }
}

TEST_CASE("what is not a quantity is refused with its reason") {
  for (const auto& refusal : refusals) {
    CAPTURE(refusal.text);
    const Parsed parsed = parse_quantity(refusal.text, refusal.dimension);
    CHECK_FALSE(parsed.value);
    CHECK(parsed.problem == refusal.problem);
    CHECK_FALSE(parsed.remedy.empty());
  }
}

TEST_CASE("the remedy shows a right way to write it") {
  CHECK(parse_quantity("5", Dimension::mass).remedy == "write for example \"5 lb\" (kg, g, t, lb or oz)");
  CHECK(parse_quantity("5,2 kg", Dimension::mass).remedy == "write \"5.2 kg\"");
  CHECK(parse_quantity("1,150 m", Dimension::length).remedy ==
        "write \"1.150 m\", or \"1150 m\" if the comma parts the thousands");
}

TEST_CASE("the example in every remedy can itself be read") {
  for (const Unit& unit : all_units()) {
    const std::string remedy = parse_quantity("?", unit.dimension).remedy;
    CAPTURE(remedy);
    const auto first = remedy.find('"') + 1;
    const std::string example = remedy.substr(first, remedy.find('"', first) - first);
    CHECK(parse_quantity(example, unit.dimension).value);
  }
}

TEST_CASE("a pressure tells what it is measured from") {
  constexpr double psi = 6894.757293168;
  const auto check = [](std::string_view text, double Pa, PressureKind kind) {
    CAPTURE(text);
    const ParsedPressure pressure = parse_pressure(text);
    CAPTURE(pressure.parsed.problem);
    REQUIRE(pressure.parsed.value);
    CHECK(within(*pressure.parsed.value, Pa, 0, 1e-15));
    CHECK(pressure.kind == kind);
  };
  for (const std::string_view text : {"15 psig", "15 psi g", "15 psi gauge", "15 psi Gage", "15 psi (g)",
                                      "15psig", "15 psi(g)", "15 PSIG", "15 psi (gauge)"}) {
    check(text, 15 * psi, PressureKind::gauge);
  }
  for (const std::string_view text : {"30 psia", "30 psi a", "30 psi abs", "30 psi absolute", "30psi(a)"}) {
    check(text, 30 * psi, PressureKind::absolute);
  }
  check("103 kPa gauge", 103'000, PressureKind::gauge);
  check("103 kPag", 103'000, PressureKind::gauge);
  check("1.2 bar abs", 120'000, PressureKind::absolute);
  check("1.2 bar absolute", 120'000, PressureKind::absolute);
  check("1.2 bara", 120'000, PressureKind::absolute);
  check("200 kPaa", 200'000, PressureKind::absolute);
  check("-20 kPa gauge", -20'000, PressureKind::gauge);
  check("103 kPa", 103'000, PressureKind::unstated);
  check("103000 Pa", 103'000, PressureKind::unstated);
  check("29.92 inHg", 29.92 * 3386.389, PressureKind::unstated);
  check("760 mm Hg", 760 * 133.3224, PressureKind::unstated);
  check("15 psi", 15 * psi, PressureKind::unstated);
}

TEST_CASE("a pressure that cannot be is refused") {
  const auto problem = [](std::string_view text) {
    const ParsedPressure pressure = parse_pressure(text);
    CHECK_FALSE(pressure.parsed.value);
    return pressure.parsed.problem;
  };
  CHECK(problem("-1 kPa abs") == "\"-1 kPa abs\" is below vacuum");
  CHECK(problem("15") == "\"15\" has no unit");
  CHECK(problem("15 gauge") == "\"15\" has no unit");
  CHECK(problem("15 g") == "\"15\" has no unit");
  CHECK(problem("15 psig gauge") == "\"psig\" is not a unit of pressure");
  CHECK(problem("15 kg") == "\"kg\" is not a unit of pressure");
  CHECK(problem("gauge") == "\"gauge\" does not begin with a number");
  CHECK(problem("") == "nothing is written");
  CHECK(problem("15 psi 3 psi") == "\"15 psi 3 psi\" holds more than one pressure");
}

TEST_CASE("a bare number takes the whole text") {
  CHECK(parse_number("96.25") == 96.25);
  CHECK(parse_number("+96.25") == 96.25);
  CHECK(parse_number("-0.5") == -0.5);
  CHECK(parse_number(".5") == 0.5);
  CHECK(parse_number("5.") == 5.0);
  CHECK(parse_number("1e3") == 1000.0);
  for (const std::string_view text :
       {"",    " ",   "+",   "-",    ".",    "+-5",      "-+5",  "++5", "5 ",    " 5", "5C",   "5,2",
        "nan", "NaN", "inf", "-inf", "+inf", "infinity", "0x10", "1e",  "1e999", "--", "1_000"}) {
    CAPTURE(text);
    CHECK_FALSE(parse_number(text));
  }
}
