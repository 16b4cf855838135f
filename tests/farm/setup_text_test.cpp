#include "farm/setup_text.h"

#include "errors/our_fault.h"
#include "farm/site.h"

#include <doctest/doctest.h>

#include <string>

using namespace coldbag;

TEST_CASE("a site file without any answer is taken, and says every question") {
  const Site site = read_site("site.toml", site_text({}));
  CHECK(site.altitude_m.asked);
  CHECK(site.zone.asked);
  REQUIRE(site.vessels.size() == 1);
  CHECK(site.vessels[0].kind.asked);
  CHECK(site.vessels[0].rating_gauge_Pa.asked);
  REQUIRE(site.bags.size() == 1);
  CHECK(site.bags[0].film.asked);
  CHECK(site.bags[0].moisture_wb.asked);
  CHECK(unanswered(site).size() > 10);
}

TEST_CASE("answers come back from the file as they were given") {
  const std::string name = "invented \"farm\" \\ north\x01";
  SetupAnswers answers;
  answers.site_name = name;
  answers.altitude = "1150 m";
  answers.zone = "America/Bogota";
  answers.units = UnitSystem::us;
  answers.language = "es";
  answers.vessel_name = "north drum";
  answers.kind = VesselKind::pressure_rated;
  answers.rating = "15 psi gauge";
  answers.volume = "2 m3";
  answers.metal = "steel";
  answers.metal_mass = "150 kg";
  answers.wall = "bare";
  answers.steam_power = "12 kW";
  answers.fuel = "propane";
  answers.bag_name = "brick";
  answers.substrate = "sawdust";
  answers.form = "brick";
  answers.mass = "5 lb";
  answers.moisture = "62 %";
  answers.length = "20 cm";
  answers.width = "12 cm";
  answers.height = "18 cm";
  answers.diameter = "15 cm";
  answers.closure = "breathing";
  answers.neighbours = "sides";
  answers.film = "pp-copolymer";
  answers.probes = {{"Bag 1.º \"C\"", ProbeRole::bag, "lowest layer", "cold", "tc-k1"},
                    {"Steam", ProbeRole::vessel, "top", {}, "tc-k1"}};
  const Site site = read_site("site.toml", site_text(answers));
  CHECK(unanswered(site).empty());
  CHECK(site.name == name);
  CHECK(site.altitude_m.value == 1150.0);
  CHECK(site.zone.value == "America/Bogota");
  CHECK(site.units == UnitSystem::us);
  CHECK(site.language == "es");
  CHECK(site.vessels[0].name == "north drum");
  CHECK(site.vessels[0].kind.value == VesselKind::pressure_rated);
  CHECK(site.vessels[0].rating_gauge_Pa.known());
  CHECK(site.vessels[0].volume_m3.value == 2.0);
  CHECK(site.vessels[0].metal.value == "steel");
  CHECK(site.vessels[0].metal_mass_kg.value == 150.0);
  CHECK(site.vessels[0].wall.value == "bare");
  CHECK(site.vessels[0].steam_power_W.value == 12000.0);
  CHECK(site.vessels[0].fuel.value == "propane");
  CHECK(site.bags[0].name == "brick");
  CHECK(site.bags[0].substrate.value == "sawdust");
  CHECK(site.bags[0].form.value == "brick");
  CHECK(site.bags[0].mass_kg.known());
  CHECK(site.bags[0].moisture_wb.known());
  CHECK(site.bags[0].length_m.known());
  CHECK(site.bags[0].width_m.known());
  CHECK(site.bags[0].height_m.known());
  CHECK(site.bags[0].diameter_m.known());
  CHECK(site.bags[0].closure.value == "breathing");
  CHECK(site.bags[0].neighbours.value == "sides");
  CHECK(site.bags[0].film.value == "pp-copolymer");
  REQUIRE(site.probes.size() == 2);
  CHECK(site.probes[0].column.value == "Bag 1.º \"C\"");
  CHECK(site.probes[0].role.value == ProbeRole::bag);
  CHECK(site.probes[0].bag.value == "brick");
  CHECK(site.probes[0].position.value == "lowest layer");
  CHECK(site.probes[0].spot.value == "cold");
  CHECK(site.probes[1].role.value == ProbeRole::vessel);
  CHECK(site.probes[1].probe_class.value == "tc-k1");
}

TEST_CASE("a vented vessel is not asked for a rating") {
  SetupAnswers answers;
  answers.kind = VesselKind::vented;
  CHECK_FALSE(read_site("s", site_text(answers)).vessels[0].rating_gauge_Pa.asked);
}

TEST_CASE("a probe whose place nobody said is a question") {
  SetupAnswers answers;
  answers.probes = {{"T1", {}, {}, {}, {}}};
  CHECK(read_site("s", site_text(answers)).probes[0].role.asked);
}

TEST_CASE("two probes of one column are our fault") {
  SetupAnswers answers;
  answers.probes = {{"T1", {}, {}, {}, {}}, {"T1", {}, {}, {}, {}}};
  CHECK_THROWS_AS((void)site_text(answers), OurFault);
}
