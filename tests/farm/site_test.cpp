#include "farm/site.h"

#include "support/approx.h"

#include <doctest/doctest.h>

#include <string>

using namespace coldbag;
using test::within;

namespace {

// Invented.
constexpr std::string_view whole_site = R"toml(
[site]
name = "invented farm"
altitude = "1150 m"
zone = "America/Bogota"
units = "us"
language = "es"

[log]
unit = "F"
date_order = "day-first"
pressure_unit = "psi gauge"
time_column = "When"

[vessels.north]
kind = "pressure-rated"
rating = "15 psi gauge"
volume = "2 m3"
metal = "steel"
metal_mass = "150 kg"
wall_area = "6 m2"
wall = "insulated"
wall_transmittance = "2 W/m2K"
steam_power = "12 kW"
steam_rate = "18 kg/h"
fuel = "propane"
efficiency = 0.55

[vessels.drum]
kind = "vented"

[bags.brick]
substrate = "sawdust"
form = "brick"
mass = "5 lb"
moisture = "62 %"
length = "20 cm"
width = "12 cm"
height = "18 cm"
diameter = "15 cm"
closure = "breathing"
film = "pp-copolymer"

[probes.one]
column = "T1"
place = "bag"
bag = "brick"
position = "lowest layer, rear"
spot = "cold"
class = "tc-k1"
resolution = "0.1 K"
[[probes.one.check]]
on = 2026-03-01
correction = "-0.4 K"
u = "0.2 K"
by = "A"
how = "ice and boil"
[[probes.one.check]]
correction = "0.1 K"

[probes.lid]
place = "lid"

[patterns.full]
vessel = "north"
bag = "brick"
count = 120
stacking = "two layers, spaced"

[[treatment]]
key = "long_steam"
setpoint = "90 C"
[[treatment.criterion]]
name = "hold"
measure = "hold"
at_least = "10 h"
)toml";

} // namespace

TEST_CASE("every key of a site file is read into the unit inside the program") {
  const Site site = read_site("farm.toml", whole_site);
  CHECK(site.source_name == "farm.toml");
  CHECK(site.name == "invented farm");
  CHECK(site.altitude_m.value == 1150.0);
  CHECK(site.zone.value == "America/Bogota");
  CHECK(site.units == UnitSystem::us);
  CHECK(site.language == "es");
  CHECK(site.log == std::vector<LogSetting>{{"unit", "F"},
                                            {"date_order", "day-first"},
                                            {"time_column", "When"},
                                            {"pressure_unit", "psi gauge"}});

  REQUIRE(site.vessels.size() == 2);
  const Vessel& north = site.vessels[0];
  CHECK(north.name == "north");
  CHECK(north.kind.value == VesselKind::pressure_rated);
  CHECK(within(*north.rating_gauge_Pa.value, 103421.36, 1));
  CHECK(north.volume_m3.value == 2.0);
  CHECK(north.metal.value == "steel");
  CHECK(north.metal_mass_kg.value == 150.0);
  CHECK(north.wall_area_m2.value == 6.0);
  CHECK(north.wall.value == "insulated");
  CHECK(north.wall_W_per_m2_K.value == 2.0);
  CHECK(north.steam_power_W.value == 12000.0);
  CHECK(within(*north.steam_rate_kg_per_s.value, 0.005, 1e-12));
  CHECK(north.fuel.value == "propane");
  CHECK(north.efficiency.value == 0.55);
  CHECK(site.vessels[1].kind.value == VesselKind::vented);

  REQUIRE(site.bags.size() == 1);
  const Bag& brick = site.bags[0];
  CHECK(brick.substrate.value == "sawdust");
  CHECK(brick.form.value == "brick");
  CHECK(within(*brick.mass_kg.value, 2.26796185, 1e-9));
  CHECK(within(*brick.moisture_wb.value, 0.62, 1e-12));
  CHECK(within(*brick.length_m.value, 0.20, 1e-12));
  CHECK(within(*brick.width_m.value, 0.12, 1e-12));
  CHECK(within(*brick.height_m.value, 0.18, 1e-12));
  CHECK(within(*brick.diameter_m.value, 0.15, 1e-12));
  CHECK(brick.closure.value == "breathing");
  CHECK(brick.film.value == "pp-copolymer");

  REQUIRE(site.probes.size() == 2);
  const Probe& one = site.probes[0];
  CHECK(one.column.value == "T1");
  CHECK(one.role.value == ProbeRole::bag);
  CHECK(one.bag.value == "brick");
  CHECK(one.position.value == "lowest layer, rear");
  CHECK(one.spot.value == "cold");
  CHECK(one.probe_class.value == "tc-k1");
  CHECK(one.resolution_K.value == 0.1);
  REQUIRE(one.checks.size() == 2);
  CHECK(one.checks[0].on == wall_time({2026, 3, 1, 0, 0, 0}));
  CHECK(one.checks[0].correction.offset_K == -0.4);
  CHECK(one.checks[0].u_K == 0.2);
  CHECK(one.checks[0].by == "A");
  CHECK(one.checks[0].how == "ice and boil");
  CHECK(one.checks[1].correction.offset_K == 0.1);
  CHECK_FALSE(one.checks[1].on.has_value());
  CHECK(site.probes[1].role.value == ProbeRole::lid);

  REQUIRE(site.patterns.size() == 1);
  CHECK(site.patterns[0].vessel.value == "north");
  CHECK(site.patterns[0].bag.value == "brick");
  CHECK(site.patterns[0].count.value == 120);
  CHECK(site.patterns[0].stacking.value == "two layers, spaced");
  REQUIRE(site.treatments.size() == 1);
  CHECK(site.treatments[0].key == "long_steam");
  CHECK(unanswered(site).empty());
}

TEST_CASE("a place names file, line, column and the key's path") {
  const Site site = read_site("farm.toml", "[site]\naltitude = \"1150 m\"\n");
  CHECK(site.altitude_m.place == Place{"farm.toml", 2, 12, "site.altitude"});
}

TEST_CASE("vessels, bags and probes keep the order of the file, not of the alphabet") {
  const Site site = read_site("farm.toml", "[site]\n[vessels.z]\n[vessels.a]\n[vessels.m]\n");
  REQUIRE(site.vessels.size() == 3);
  CHECK(site.vessels[0].name == "z");
  CHECK(site.vessels[1].name == "a");
  CHECK(site.vessels[2].name == "m");
  CHECK(find_vessel(site, "m") == &site.vessels[2]);
  CHECK(find_vessel(site, "n") == nullptr);
  CHECK(find_bag(site, "m") == nullptr);
  CHECK(find_probe(site, "m") == nullptr);
}

TEST_CASE("a question mark stands for any value and is listed in file order") {
  const Site site = read_site("farm.toml", R"toml([site]
name = "?"
altitude = "?"
zone = "?"
units = "?"
[vessels.north]
kind = "?"
rating = " ? "
efficiency = "?"
[bags.brick]
moisture = "?"
film = "?"
[probes.one]
place = "?"
resolution = "?"
[[probes.one.check]]
on = "?"
correction = "?"
[patterns.full]
count = "?"
)toml");
  CHECK(site.altitude_m.asked);
  CHECK_FALSE(site.altitude_m.known());
  CHECK(site.vessels[0].kind.asked);
  CHECK(site.vessels[0].rating_gauge_Pa.asked);
  CHECK(site.bags[0].film.asked);
  CHECK(site.probes[0].role.asked);
  CHECK(site.patterns[0].count.asked);
  std::vector<int> lines;
  for (const Place& place : unanswered(site))
    lines.push_back(place.line);
  CHECK(lines == std::vector<int>{2, 3, 4, 5, 7, 8, 9, 11, 12, 14, 15, 17, 18, 20});
}

TEST_CASE("a check whose correction is not known is not used as a correction of zero") {
  const Site site = read_site("f", "[site]\n[probes.one]\n[[probes.one.check]]\ncorrection = \"?\"\n");
  CHECK(site.probes[0].checks.empty());
}

TEST_CASE("what the file does not say is neither known nor asked") {
  const Site site = read_site("f", "[site]\n[vessels.north]\n");
  CHECK_FALSE(site.vessels[0].kind.known());
  CHECK_FALSE(site.vessels[0].kind.asked);
}

TEST_CASE("all faults of a site file come at once, in file order") {
  try {
    (void)read_site(
        "farm.toml",
        "[site]\naltitude = 1150\nzone = \"Nowhere/Here\"\n[bags.brick]\nmass = 5\nmoistrue = \"62 %\"\n");
    FAIL("not refused");
  } catch (const UserError& error) {
    REQUIRE(error.complaints().size() == 4);
    CHECK(error.complaints()[0].place.line == 2);
    CHECK(error.complaints()[1].place.line == 3);
    CHECK(error.complaints()[2].place.line == 5);
    CHECK(error.complaints()[3].place.line == 6);
  }
}

TEST_CASE("a byte order mark, carriage returns and comments change nothing") {
  const Site plain = read_site("f", "[site]\nname = \"A\"\n");
  CHECK(read_site("f", "\xEF\xBB\xBF[site] # heading\r\nname = \"A\" # name\r\n").name == plain.name);
}
