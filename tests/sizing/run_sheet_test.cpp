// A blank run sheet: what options and site file put on it, and what is refused.
#include "sizing/run_sheet.h"

#include "errors/user_error.h"
#include "support/approx.h"

#include <doctest/doctest.h>

#include <algorithm>

using namespace coldbag;

namespace {

// Invented.
constexpr const char* drum = R"(
[site]
name = "invented farm"
altitude = "1150 m"
[vessels.drum]
kind = "vented"
[bags.brick]
mass = "2.3 kg"
moisture = "62 %"
[probes.low]
column = "T1"
place = "bag"
position = "lowest layer, rear"
[probes.steam]
place = "vessel"
)";

constexpr const char* rated = R"(
[site]
altitude = "0 m"
units = "us"
[vessels.retort]
kind = "pressure-rated"
rating = "15 psi gauge"
[bags.brick]
film = "ldpe"
)";

std::vector<Treatment> built_in_treatments() {
  const TableFiles tables = TableFiles::built_in();
  return read_treatments("treatments.toml", tables.bytes("treatments.toml"));
}

RunSheet made(const SheetAsked& asked, const char* site_toml = nullptr) {
  const CautionTables tables = read_caution_tables(TableFiles::built_in());
  if (site_toml == nullptr) return blank_run_sheet(asked, nullptr, built_in_treatments(), tables);
  const Site site = read_site("farm.toml", site_toml);
  return blank_run_sheet(asked, &site, built_in_treatments(), tables);
}

SheetAsked asking(const std::string& treatment = "") {
  SheetAsked asked;
  asked.treatment = treatment;
  asked.probes = {"Core 1", "Vessel"};
  return asked;
}

std::vector<Complaint> refused(const SheetAsked& asked, const char* site_toml = nullptr) {
  try {
    (void)made(asked, site_toml);
  } catch (const UserError& error) {
    return error.complaints();
  }
  return {};
}

const Said* find(const std::vector<Said>& all, const std::string& key) {
  const auto found = std::ranges::find(all, key, &Said::key);
  return found == all.end() ? nullptr : &*found;
}

double number(const std::vector<Said>& all, const std::string& key, const std::string& value) {
  const Said* said = find(all, key);
  REQUIRE_MESSAGE(said != nullptr, key);
  return std::get<double>(said->values.at(value));
}

bool has_event(const RunSheet& sheet, EventKind kind) {
  return std::ranges::find(sheet.events, kind) != sheet.events.end();
}

} // namespace

TEST_CASE("readings run from steam on to the end that was asked, the last one at it or just behind") {
  SheetAsked asked = asking();
  asked.every_s = 1800;
  asked.for_s = 14 * 3600;
  const RunSheet sheet = made(asked);
  REQUIRE(sheet.lines.size() == 29);
  CHECK(sheet.lines.front().since_steam_on_s == 0);
  CHECK(sheet.lines.back().since_steam_on_s == 14 * 3600);
  CHECK_FALSE(sheet.lines.front().remark);
  asked.for_s = 14 * 3600 + 60;
  CHECK(made(asked).lines.back().since_steam_on_s == 14.5 * 3600);
}

TEST_CASE("where nobody says how far apart, readings are what the treatment bridges by hand") {
  // gap_by_hand of 1,500 and 2,400 s: 15 and 30 min, each time up to 5 min off.
  CHECK(made(asking("sterilize")).every_s == 900);
  CHECK(made(asking("atmospheric_steam")).every_s == 1800);
  CHECK(made(asking()).every_s == 900);
}

TEST_CASE("where nobody says for how long, there is room for the longest hold and its coming up") {
  CHECK(made(asking("sterilize")).lines.size() == 36);
  const RunSheet sheet = made(asking("atmospheric_steam_hot"));
  CHECK(sheet.lines.back().since_steam_on_s >= 1.5 * 16 * 3600);
  const char* light = "[site]\naltitude = \"0 m\"\n[bags.block]\nmass = \"3 kg\"\n";
  CHECK(made(asking("atmospheric_steam")).lines.back().since_steam_on_s == 1.5 * 16 * 3600);
  CHECK(made(asking("atmospheric_steam"), light).lines.back().since_steam_on_s == 1.5 * 14 * 3600);
}

TEST_CASE("readings too far apart for the treatment are told, and those just near enough are not") {
  SheetAsked asked = asking("sterilize");
  asked.every_s = 900;
  CHECK(find(made(asked).cautions, "sheet_caution_interval") == nullptr);
  asked.every_s = 960;
  CHECK(number(made(asked).cautions, "sheet_caution_interval", "bridged_minutes") == 15);
}

TEST_CASE("F is told as minutes at the setpoint too, rounded up") {
  // 10^(3.1/10) = 2.0417: a lethal rate of 0.490 at 118 C stands in canning tables for z 10 K and 121.1 C
  // (from memory); 15 / 0.490 is 30.6.
  const RunSheet sheet = made(asking("sterilize"));
  CHECK(number(sheet.requirements, "sheet_needs_lethality_from", "at_setpoint_minutes") == 31);
  CHECK(number(sheet.requirements, "sheet_needs_lethality_from", "counts_from_degC") == 110);
  CHECK(number(sheet.requirements, "sheet_wants_lethality", "at_setpoint_minutes") == 62);
  CHECK(number(sheet.requirements, "sheet_limit_minutes", "required_minutes") == 300);
}

TEST_CASE("the advised hold is that of the bag where its mass is known, and both where it is not") {
  CHECK(number(made(asking("atmospheric_steam")).requirements, "sheet_wants_hold_heavier", "than_kg") == 3);
  const char* heavy = "[site]\naltitude = \"0 m\"\n[bags.block]\nmass = \"3.1 kg\"\n";
  const char* light = "[site]\naltitude = \"0 m\"\n[bags.block]\nmass = \"3 kg\"\n";
  CHECK(number(made(asking("atmospheric_steam"), heavy).requirements, "sheet_wants_hold",
               "required_minutes") == 16 * 60);
  CHECK(number(made(asking("atmospheric_steam"), light).requirements, "sheet_wants_hold",
               "required_minutes") == 14 * 60);
}

TEST_CASE("limits of straw are told as fails and as advice") {
  const RunSheet sheet = made(asking("pasteurize_straw"));
  CHECK(number(sheet.requirements, "sheet_limit_top", "required_degC") == 93);
  CHECK(number(sheet.requirements, "sheet_wants_top", "required_degC") == 82);
  CHECK(number(sheet.requirements, "sheet_wants_moisture", "to_fraction") == 0.8);
  CHECK(find(sheet.if_it_happens, "sheet_do_too_hot") != nullptr);
  CHECK(find(made(asking("atmospheric_steam")).if_it_happens, "sheet_do_too_hot") == nullptr);
}

TEST_CASE("what the gauge shows at the setpoint is saturation less the air outside") {
  // Saturation at 120 C is 198.67 kPa: Cengel and Boles, Thermodynamics, table A-4 (from memory).
  const std::string site =
      "[site]\naltitude = \"0 m\"\n[vessels.retort]\nkind = \"pressure-rated\"\nrating = "
      "\"20 psi gauge\"\n[[treatment]]\nkey = \"ours\"\nsetpoint = \"120 C\"\n"
      "[[treatment.criterion]]\nname = \"hold\"\nmeasure = \"hold\"\nat_least = \"30 min\"\n";
  const RunSheet sheet = made(asking("ours"), site.c_str());
  const double gauge_Pa = number(sheet.requirements, "sheet_gauge_at_setpoint", "gauge_pressure_Pa");
  CHECK(test::within(gauge_Pa, 198.67e3 - 101.325e3, 50));
  // Under the boiling point there is nothing to see, and without an altitude nothing to reckon from.
  CHECK(find(made(asking("pasteurize_straw"), rated).requirements, "sheet_gauge_at_setpoint") == nullptr);
  CHECK(find(made(asking("sterilize")).requirements, "sheet_gauge_at_setpoint") == nullptr);
}

TEST_CASE("a vented vessel's vent is never asked to be closed") {
  SheetAsked asked = asking("atmospheric_steam");
  asked.probes = {};
  const RunSheet sheet = made(asked, drum);
  CHECK(sheet.vessel == "drum");
  CHECK_FALSE(has_event(sheet, EventKind::vent_closed));
  CHECK_FALSE(has_event(sheet, EventKind::vent_opened));
  CHECK(find(sheet.reminders, "sheet_mind_vent") != nullptr);
  CHECK(find(sheet.reminders, "sheet_mind_rating_unknown") == nullptr);
  // 0.5 K over 96.1 C, the boiling point at 1,150 m.
  CHECK(test::within(number(sheet.if_it_happens, "sheet_do_over_boiling", "limit_degC"), 96.63, 0.05));
  CHECK(has_event(made(asking("sterilize"), rated), EventKind::vent_closed));
}

TEST_CASE("of a vessel that nobody described both kinds are minded, unless the treatment tells them apart") {
  const RunSheet open = made(asking("atmospheric_steam"));
  CHECK(find(open.reminders, "sheet_mind_vent") != nullptr);
  CHECK(find(open.reminders, "sheet_mind_rating_unknown") != nullptr);
  CHECK(find(made(asking("sterilize")).reminders, "sheet_mind_vent") == nullptr);
}

TEST_CASE("a rating is told with the part of it from which the heat is lowered") {
  const RunSheet sheet = made(asking("sterilize"), rated);
  CHECK(sheet.units == UnitSystem::us);
  const double rating_Pa = number(sheet.if_it_happens, "sheet_do_over_rating", "rating_Pa");
  CHECK(test::within(rating_Pa, 103421.4, 0.1)); // 15 psi
  CHECK(test::within(number(sheet.if_it_happens, "sheet_do_over_rating", "near_Pa"), 0.9 * rating_Pa, 1e-6));
}

TEST_CASE("no sheet for what the vessel cannot do: over the boiling point, over the rating") {
  const auto vented =
      refused(asking("sterilize"), "[site]\naltitude = \"0 m\"\n[vessels.drum]\nkind = \"vented\"\n");
  REQUIRE(vented.size() == 1);
  CHECK(vented[0].trouble == Trouble::usage);
  CHECK(vented[0].remedy.find("never close a vent") != std::string::npos);
  // 118 C needs 12.3 psi at sea level.
  const std::string weak =
      "[site]\naltitude = \"0 m\"\n[vessels.pot]\nkind = \"pressure-rated\"\nrating = \"12 psi gauge\"\n";
  CHECK(refused(asking("sterilize"), weak.c_str()).size() == 1);
  const std::string strong =
      "[site]\naltitude = \"0 m\"\n[vessels.pot]\nkind = \"pressure-rated\"\nrating = \"12.5 psi gauge\"\n";
  CHECK(refused(asking("sterilize"), strong.c_str()).empty());
}

TEST_CASE("probes of the site are named as their columns, with the places that it knows") {
  SheetAsked asked = asking();
  asked.probes = {"low", "steam"};
  const RunSheet sheet = made(asked, drum);
  REQUIRE(sheet.probes.size() == 2);
  CHECK(sheet.probes[0] == SheetProbe{"T1", ProbeRole::bag, "lowest layer, rear"});
  CHECK(sheet.probes[1] == SheetProbe{"steam", ProbeRole::vessel, ""});
  asked.probes = {"T1"};
  CHECK(made(asked, drum).probes[0].column == "T1");
  asked.probes = {};
  CHECK(made(asked, drum).probes.size() == 2);
}

TEST_CASE("without a site file a probe's place is what its name says") {
  SheetAsked asked = asking();
  CHECK(made(asked).probes[0].role == ProbeRole::bag);
  CHECK(made(asked).probes[1].role == ProbeRole::vessel);
  CHECK(find(made(asked).cautions, "sheet_caution_no_bag_probe") == nullptr);
  CHECK(find(made(asked).cautions, "sheet_caution_no_steam_probe") == nullptr);
  asked.probes = {"Left", "Right"};
  CHECK(find(made(asked).cautions, "sheet_caution_no_bag_probe") != nullptr);
  CHECK(find(made(asked).cautions, "sheet_caution_no_steam_probe") != nullptr);
}

TEST_CASE("a film that cannot bear the treatment stands before all other cautions") {
  const RunSheet sheet = made(asking("sterilize"), rated);
  CHECK(sheet.cautions.front().key == "sheet_caution_film");
  CHECK(number(sheet.cautions, "sheet_caution_film", "film_degC") == 80);
  CHECK(find(made(asking("pasteurize_straw"), rated).cautions, "sheet_caution_film") == nullptr);
}

TEST_CASE("columns that could not be typed off are refused") {
  for (const std::vector<std::string>& probes :
       std::vector<std::vector<std::string>>{{"T1", "T1"},
                                             {"T1", "a\"b"},
                                             {"Time"},
                                             {std::string(61, 'x')},
                                             {"Humidity"},
                                             {"1", "2", "3", "4", "5", "6", "7", "8", "9"}}) {
    SheetAsked asked = asking();
    asked.probes = probes;
    CHECK_MESSAGE(refused(asked).size() == 1, probes.front());
  }
  SheetAsked asked = asking();
  asked.probes = {"T1", "T2", "T3", "T4", "T5", "T6", "T7", "T8"};
  CHECK(refused(asked).empty());
}

TEST_CASE("every fault is told at once, each at its option") {
  SheetAsked asked;
  asked.vessel = "drun";
  asked.treatment = "atmospheric";
  asked.bag = "brik";
  asked.bag_count = 0;
  asked.probes = {"T2"};
  asked.every_s = 90;
  std::vector<std::string> options;
  for (const Complaint& complaint : refused(asked, drum)) {
    CHECK(complaint.trouble == Trouble::usage);
    CHECK_FALSE(complaint.remedy.empty());
    options.push_back(complaint.place.key_path);
  }
  CHECK(options ==
        std::vector<std::string>{"--vessel", "--treatment", "--bag", "--bags", "--probes", "--every"});
}

TEST_CASE("which probe is in which of several vessels is asked, not guessed") {
  const std::string two = std::string(drum) + "[vessels.room]\nkind = \"vented\"\n";
  SheetAsked asked;
  CHECK(refused(asked, two.c_str()).size() == 2); // vessel and probes
  asked.vessel = "room";
  REQUIRE(refused(asked, two.c_str()).size() == 1);
  CHECK(refused(asked, two.c_str())[0].remedy == "choose from low, steam");
  asked.probes = {"low"};
  CHECK(refused(asked, two.c_str()).empty());
}

TEST_CASE("a run is not read by hand on more lines than anyone would") {
  SheetAsked asked = asking();
  asked.every_s = 60;
  asked.for_s = 399 * 60;
  CHECK(made(asked).lines.size() == most_sheet_lines);
  asked.for_s = 400 * 60;
  CHECK(refused(asked).size() == 1);
  asked.for_s = 0;
  CHECK(refused(asked).size() == 1);
}

TEST_CASE("a treatment of the farm goes before the built-in one of its name") {
  const std::string own =
      "[site]\naltitude = \"0 m\"\n[[treatment]]\nkey = \"atmospheric_steam\"\nname = \"ours\"\nsetpoint = "
      "\"90 C\"\n"
      "[[treatment.criterion]]\nname = \"hold\"\nmeasure = \"hold\"\nat_least = \"8 h\"\n";
  const RunSheet sheet = made(asking("atmospheric_steam"), own.c_str());
  CHECK(sheet.treatment == "ours");
  CHECK(number(sheet.requirements, "sheet_needs_hold", "required_minutes") == 480);
}
