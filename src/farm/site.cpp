#include "farm/site.h"

#include "farm/keyed.h"
#include "farm/nearest.h"
#include "farm/probe_tables.h"
#include "farm/treatment_tables.h"
#include "tables/languages.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <map>
#include <tuple>

namespace coldbag {

namespace {

constexpr Bounds altitude_bounds{-500.0, 9000.0, true, "from -500 m to 9000 m", "1150 m"};
constexpr Bounds film_bounds{30.0, 300.0, true, "from 30 C to 300 C"};
constexpr Bounds turn_bounds{0.0, 180.0, true, "from 0 to 180"};
constexpr Bounds lifts_bounds{0.0, 8.0, true, "from 0 to 8; the table goes no further"};
constexpr Bounds work_bounds{0.0, 28800.0, false, "above 0, and 8 h at most"};
constexpr Bounds part_of_heat{0.0, 1.0, false, "above 0, and 100 % at most"};

std::string remedy_for_zone(const std::string& name) {
  const std::vector<std::string> like = zones_like(name);
  if (like.empty()) return "write a zone of the IANA list, for example zone = \"America/Bogota\"";
  return fmt::format("write a zone of the IANA list, for example zone = \"America/Bogota\"; did you mean {}?",
                     list_names(like, false));
}

void read_zone(KeyedTable& table, Site& site) {
  site.zone = table.text("zone");
  if (!site.zone.value || Zone::find(*site.zone.value)) return;
  table.complain("zone", "there is no time zone \"" + *site.zone.value + '"',
                 remedy_for_zone(*site.zone.value));
  site.zone.value.reset();
}

void read_heading(KeyedTable& table, Site& site) {
  const std::array<std::string, 2> systems{"metric", "us"};
  site.name = table.plain_text("name");
  site.altitude_m = table.quantity("altitude", Dimension::length, altitude_bounds);
  site.learned_file = table.plain_text("learned");
  read_zone(table, site);
  const Stated<std::string> units = table.choice("units", systems);
  if (units.asked) table.note_asked(units.place);
  if (units.value == "us") site.units = UnitSystem::us;
  const std::vector<std::string> known_languages(languages.begin(), languages.end());
  const Stated<std::string> language = table.choice("language", known_languages);
  if (language.asked) table.note_asked(language.place);
  site.language = language.value.value_or("en");
  table.refuse(
      "pressure", "a site has an altitude, and each run its barometer",
      "write altitude = \"1150 m\" here, and pressure_at_site or pressure_at_sea_level in the run file");
  table.finish();
}

std::vector<LogSetting> read_log_settings(KeyedTable table) {
  std::vector<LogSetting> settings;
  for (const LogSettingRule& rule : log_setting_rules()) {
    const Stated<std::string> stated =
        rule.words.empty() ? table.text(rule.key) : table.choice(rule.key, rule.words);
    if (stated.asked) table.note_asked(stated.place);
    if (stated.value) settings.push_back({rule.key, *stated.value});
  }
  table.refuse("zone", "the time zone is that of the site",
               "write it under [site]: zone = \"America/Bogota\"");
  table.finish();
  return settings;
}

Stated<VesselKind> read_kind(KeyedTable& table) {
  const std::array<std::string, 2> words{"vented", "pressure-rated"};
  const Stated<std::string> written = table.choice("kind", words);
  Stated<VesselKind> kind{std::nullopt, written.asked, written.place};
  if (written.value)
    kind.value = *written.value == "vented" ? VesselKind::vented : VesselKind::pressure_rated;
  return kind;
}

Stated<WallTime> read_day(KeyedTable& table, std::string_view key) {
  const Stated<IsoTime> written = table.time(key);
  Stated<WallTime> day{std::nullopt, written.asked, written.place};
  if (written.value) day.value = written.value->wall;
  return day;
}

Vessel read_vessel(const std::string& name, KeyedTable& table) {
  const std::array<std::string, 2> walls{"bare", "insulated"};
  Vessel vessel;
  vessel.name = name;
  vessel.place = table.place();
  vessel.kind = read_kind(table);
  vessel.rating_gauge_Pa = table.pressure("rating", PressureSort::gauge, above_zero);
  vessel.volume_m3 = table.quantity("volume", Dimension::volume, above_zero);
  vessel.metal = table.text("metal");
  vessel.metal_mass_kg = table.quantity("metal_mass", Dimension::mass, above_zero);
  vessel.wall_area_m2 = table.quantity("wall_area", Dimension::area, above_zero);
  vessel.wall = table.choice("wall", walls);
  vessel.wall_W_per_m2_K = table.quantity("wall_transmittance", Dimension::transmittance, above_zero);
  vessel.steam_power_W = table.quantity("steam_power", Dimension::power, above_zero);
  vessel.steam_rate_kg_per_s = table.quantity("steam_rate", Dimension::mass_rate, above_zero);
  vessel.fuel = table.text("fuel");
  vessel.efficiency = table.quantity("efficiency", Dimension::fraction, part_of_heat);
  vessel.has_vacuum_breaker = table.flag("vacuum_breaker");
  vessel.low_water_tested = read_day(table, "low_water_tested");
  vessel.low_water_test_every_s = table.quantity("low_water_test_every", Dimension::duration, above_zero);
  vessel.safety_valve_tested = read_day(table, "safety_valve_tested");
  vessel.safety_valve_test_every_s =
      table.quantity("safety_valve_test_every", Dimension::duration, above_zero);
  vessel.certificate_until = read_day(table, "certificate_until");
  table.refuse("pressure", "which pressure is not said",
               "write rating = \"15 psi gauge\", from the nameplate");
  table.finish();
  return vessel;
}

std::optional<Lift> read_lift(KeyedTable& bag) {
  const bool is_there = bag.has("lift");
  KeyedTable table = bag.table("lift");
  if (!is_there) return std::nullopt;
  const std::array<std::string, 3> grips{"good", "fair", "poor"};
  Lift lift;
  lift.mass_kg = table.quantity("mass", Dimension::mass, above_zero);
  lift.reach_m = table.quantity("reach", Dimension::length, above_zero);
  lift.height_m = table.quantity("height", Dimension::length, zero_or_more);
  lift.travel_m = table.quantity("travel", Dimension::length, zero_or_more);
  lift.turn_deg = table.number("turn_degrees", turn_bounds);
  lift.per_minute = table.number("per_minute", lifts_bounds);
  lift.work_s = table.quantity("work", Dimension::duration, work_bounds);
  lift.grip = table.choice("grip", grips);
  table.finish();
  return lift;
}

Bag read_bag(const std::string& name, KeyedTable& table) {
  const std::array<std::string, 4> forms{"brick", "column", "slab", "loose"};
  const std::array<std::string, 3> closures{"breathing", "sealed", "open"};
  const std::array<std::string, 3> neighbours{"apart", "sides", "all"};
  Bag bag;
  bag.name = name;
  bag.place = table.place();
  bag.substrate = table.text("substrate");
  bag.form = table.choice("form", forms);
  bag.mass_kg = table.quantity("mass", Dimension::mass, above_zero);
  bag.moisture_wb = table.quantity("moisture", Dimension::fraction, zero_to_one);
  bag.length_m = table.quantity("length", Dimension::length, above_zero);
  bag.width_m = table.quantity("width", Dimension::length, above_zero);
  bag.height_m = table.quantity("height", Dimension::length, above_zero);
  bag.diameter_m = table.quantity("diameter", Dimension::length, above_zero);
  bag.closure = table.choice("closure", closures);
  bag.neighbours = table.choice("neighbours", neighbours);
  bag.film = table.text("film");
  bag.film_highest_degC = table.quantity("film_highest", Dimension::temperature, film_bounds);
  bag.has_animal_origin = table.flag("animal_origin");
  bag.lift = read_lift(table);
  table.finish();
  return bag;
}

/// Complains where a name points to nothing in this file.
void must_exist(KeyedDocument& document, const Stated<std::string>& name,
                const std::vector<std::string>& names, const std::string& heading) {
  if (!name.value || std::find(names.begin(), names.end(), *name.value) != names.end()) return;
  document.complain({Trouble::bad_data, name.place, "there is no [" + heading + '.' + *name.value + ']',
                     names.empty() ? "describe it under [" + heading + '.' + *name.value + ']'
                                   : "known: " + list_names(names, false)});
}

Pattern read_pattern(const std::string& name, KeyedTable& table) {
  Pattern pattern;
  pattern.name = name;
  pattern.place = table.place();
  pattern.vessel = table.text("vessel");
  pattern.bag = table.text("bag");
  pattern.count = table.whole_number("count", above_zero);
  pattern.stacking = table.text("stacking");
  table.finish();
  return pattern;
}

void check_columns(KeyedDocument& document, const std::vector<Probe>& probes) {
  std::map<std::string, std::string> owners;
  for (const Probe& probe : probes) {
    if (!probe.column.value) continue;
    const auto [owner, is_new] = owners.emplace(*probe.column.value, probe.name);
    if (is_new) continue;
    document.complain({Trouble::bad_data, probe.column.place,
                       "column \"" + *probe.column.value + "\" is already that of probe " + owner->second,
                       "give each probe a column of its own"});
  }
}

void check_names(KeyedDocument& document, const Site& site) {
  const std::vector<std::string> vessels = names_of(site.vessels);
  const std::vector<std::string> bags = names_of(site.bags);
  for (const Probe& probe : site.probes)
    must_exist(document, probe.bag, bags, "bags");
  for (const Pattern& pattern : site.patterns) {
    must_exist(document, pattern.vessel, vessels, "vessels");
    must_exist(document, pattern.bag, bags, "bags");
  }
  check_columns(document, site.probes);
}

template <class Value>
void add_asked(const Stated<Value>& stated, std::vector<Place>& places) {
  if (stated.asked) places.push_back(stated.place);
}

template <class... Values>
void add_all_asked(std::vector<Place>& places, const Stated<Values>&... stated) {
  (add_asked(stated, places), ...);
}

template <class Things>
auto find_named(const Things& things, std::string_view name) {
  const auto found =
      std::find_if(things.begin(), things.end(), [&](const auto& each) { return each.name == name; });
  return found == things.end() ? nullptr : &*found;
}

} // namespace

Site read_site(std::string_view source_name, std::string_view toml) {
  KeyedDocument document(source_name, toml);
  KeyedTable root = document.root();
  Site site;
  site.source_name = source_name;
  KeyedTable heading = root.table("site");
  if (!root.has("site"))
    root.complain("site", "the heading [site] is missing", "begin with [site] and altitude = \"1150 m\"");
  read_heading(heading, site);
  site.log = read_log_settings(root.table("log"));
  for (auto& [name, table] : root.named_tables("vessels"))
    site.vessels.push_back(read_vessel(name, table));
  for (auto& [name, table] : root.named_tables("bags"))
    site.bags.push_back(read_bag(name, table));
  site.probes = read_probe_tables(root);
  site.treatments = read_treatment_tables(root);
  for (auto& [name, table] : root.named_tables("patterns"))
    site.patterns.push_back(read_pattern(name, table));
  root.finish();
  check_names(document, site);
  document.throw_complaints();
  site.also_asked = document.also_asked();
  return site;
}

std::vector<Place> unanswered(const Site& site) {
  std::vector<Place> places = site.also_asked;
  add_all_asked(places, site.altitude_m, site.zone);
  for (const Vessel& v : site.vessels)
    add_all_asked(places, v.kind, v.rating_gauge_Pa, v.volume_m3, v.metal, v.metal_mass_kg, v.wall_area_m2,
                  v.wall, v.wall_W_per_m2_K, v.steam_power_W, v.steam_rate_kg_per_s, v.fuel, v.efficiency,
                  v.low_water_tested, v.low_water_test_every_s, v.safety_valve_tested,
                  v.safety_valve_test_every_s, v.certificate_until);
  for (const Bag& b : site.bags)
    add_all_asked(places, b.substrate, b.form, b.mass_kg, b.moisture_wb, b.length_m, b.width_m, b.height_m,
                  b.diameter_m, b.closure, b.neighbours, b.film, b.film_highest_degC);
  for (const Bag& b : site.bags)
    if (b.lift)
      add_all_asked(places, b.lift->mass_kg, b.lift->reach_m, b.lift->height_m, b.lift->travel_m,
                    b.lift->turn_deg, b.lift->per_minute, b.lift->work_s, b.lift->grip);
  for (const Probe& p : site.probes)
    add_all_asked(places, p.column, p.role, p.bag, p.position, p.spot, p.probe_class, p.resolution_K);
  for (const Pattern& p : site.patterns)
    add_all_asked(places, p.vessel, p.bag, p.count, p.stacking);
  std::stable_sort(places.begin(), places.end(), [](const Place& left, const Place& right) {
    return std::tie(left.line, left.column) < std::tie(right.line, right.column);
  });
  return places;
}

const Vessel* find_vessel(const Site& site, std::string_view name) {
  return find_named(site.vessels, name);
}

const Bag* find_bag(const Site& site, std::string_view name) {
  return find_named(site.bags, name);
}

const Probe* find_probe(const Site& site, std::string_view name) {
  return find_named(site.probes, name);
}

} // namespace coldbag
