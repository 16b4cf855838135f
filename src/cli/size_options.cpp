#include "cli/size_options.h"

#include "cli/files.h"
#include "cli/lag_options.h"
#include "cli/option_group.h"
#include "cli/vessel_options.h"
#include "clock/instant.h"
#include "farm/fit.h"
#include "heatup/learned_file.h"
#include "probes/check_rules.h"
#include "probes/uncertainty.h"

#include <boost/program_options.hpp>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>

namespace coldbag {

namespace po = boost::program_options;

namespace {

void take_choice(const Given& given, const std::string& option, const std::vector<std::string>& words,
                 Stated<std::string>& stated) {
  if (!given.has(option)) return;
  const std::string text = given.text(option);
  if (std::ranges::find(words, text) == words.end()) throw no_choice(option, text, words);
  state(stated, option, text);
}

void take_number(const Given& given, const std::string& option, Stated<double>& stated) {
  if (!given.has(option)) return;
  const auto number = parse_number(given.text(option));
  if (!number || *number < 0)
    refuse_option(option, fmt::format("\"{}\" is no number", given.text(option)), "a number, 0 or more");
  state(stated, option, *number);
}

void take_count(const Given& given, const std::string& option, Stated<int>& stated) {
  if (!given.has(option)) return;
  constexpr double most = 100000;
  const auto number = parse_number(given.text(option));
  if (!number || *number < 1 || *number > most || std::floor(*number) != *number)
    refuse_option(option, fmt::format("\"{}\" is no number of bags", given.text(option)),
                  "a whole number from 1 to 100000");
  state(stated, option, static_cast<int>(*number));
}

/// Water by its mass or its volume.
void take_water(const Given& given, const std::string& option, Stated<double>& stated) {
  if (!given.has(option)) return;
  constexpr double kg_per_m3 = 998;
  const Parsed as_volume = parse_quantity(given.text(option), Dimension::volume);
  state(stated, option,
        as_volume.value ? *as_volume.value * kg_per_m3
                        : quantity_option(option, given.text(option), Dimension::mass));
}

const Vessel* vessel_of(const Given& given, const std::optional<Site>& site) {
  if (!site) {
    if (given.has("vessel"))
      refuse_option("vessel", "a vessel's name says nothing without a site file", "add --site FARM.toml");
    return nullptr;
  }
  std::vector<std::string> names;
  for (const Vessel& each : site->vessels)
    names.push_back(each.name);
  if (!given.has("vessel")) {
    if (names.size() == 1) return &site->vessels.front();
    if (names.empty()) return nullptr;
    throw UserError(usage("--vessel: the site file has several vessels",
                          fmt::format("choose one of {}", fmt::join(names, ", "))));
  }
  const std::string name = given.text("vessel");
  if (auto unknown = unknown_name("vessel in the site file called", name, option_place("vessel"), names)) {
    unknown->trouble = Trouble::usage;
    throw UserError(*std::move(unknown));
  }
  return find_vessel(*site, name);
}

void take_vessel_of_site(const Vessel& vessel, PlanRequest& request) {
  request.name = vessel.name;
  SaidVessel& said = request.vessel;
  said.kind = vessel.kind;
  said.rating_gauge_Pa = vessel.rating_gauge_Pa;
  said.volume_m3 = vessel.volume_m3;
  said.wall_area_m2 = vessel.wall_area_m2;
  said.wall = vessel.wall;
  said.wall_W_per_m2K = vessel.wall_W_per_m2_K;
  said.metal = vessel.metal;
  said.metal_kg = vessel.metal_mass_kg;
  SaidSupply& supply = request.supply;
  supply.power_W = vessel.steam_power_W;
  supply.rate_kg_per_s = vessel.steam_rate_kg_per_s;
  if (supply.power_W.known()) supply.rate_kg_per_s = {};
  supply.fuel = vessel.fuel;
  supply.efficiency = vessel.efficiency;
}

void take_vessel_options(const Given& given, PlanRequest& request) {
  SaidVessel& said = request.vessel;
  const VesselOptions vessel = read_vessel_options(given);
  if (vessel.altitude_m) state(request.site.altitude_m, "altitude", *vessel.altitude_m);
  if (vessel.site_pressure_Pa)
    state(request.site.site_pressure_Pa, "pressure-at-site", *vessel.site_pressure_Pa);
  if (vessel.kind) {
    state(said.kind, vessel.rating_gauge_Pa ? "rated" : "vented", *vessel.kind);
    said.rating_gauge_Pa = {};
  }
  if (vessel.rating_gauge_Pa) state(said.rating_gauge_Pa, "rated", *vessel.rating_gauge_Pa);
  take_quantity(given, "volume", Dimension::volume, said.volume_m3);
  take_quantity(given, "wall-area", Dimension::area, said.wall_area_m2);
  take_choice(given, "wall", {"bare", "insulated"}, said.wall);
  if (given.has("wall") && !given.has("wall-loss")) said.wall_W_per_m2K = {};
  take_quantity(given, "wall-loss", Dimension::transmittance, said.wall_W_per_m2K);
  if (given.has("metal")) state(said.metal, "metal", given.text("metal"));
  take_quantity(given, "metal-mass", Dimension::mass, said.metal_kg);
  take_water(given, "water", said.standing_water_kg);
  take_quantity(given, "air-left", Dimension::fraction, said.air_left);
  take_number(given, "purge", said.purge_volumes);
}

void take_supply_options(const Given& given, SaidSupply& supply) {
  if (given.has("steam") || given.has("burner") || given.has("fuel-rate")) {
    supply.power_W = {};
    supply.rate_kg_per_s = {};
  }
  if (given.has("steam")) take_steam_supply("steam", given.text("steam"), supply);
  take_quantity(given, "burner", Dimension::power, supply.burner_W);
  take_quantity(given, "fuel-rate", Dimension::fuel_rate, supply.fuel_rate);
  if (given.has("fuel-rate"))
    supply.fuel_rate_is_mass =
        parse_quantity(given.text("fuel-rate"), Dimension::mass_rate).value.has_value();
  if (given.has("fuel")) {
    state(supply.fuel, "fuel", given.text("fuel"));
    supply.efficiency = {};
  }
  take_quantity(given, "efficiency", Dimension::fraction, supply.efficiency);
  take_quantity(given, "feed", Dimension::temperature, supply.feed_degC);
  take_quantity(given, "dryness", Dimension::fraction, supply.dryness);
  take_water(given, "boiler-water", supply.boiler_water_kg);
  take_number(given, "price", supply.price);
  take_number(given, "volts", supply.volts);
  if (supply.volts.known() && !(*supply.volts.value > 0))
    refuse_option("volts", "no current comes of that", "above 0, for example --volts 230");
  if (given.has("phases"))
    state(supply.phases, "phases", one_of<int>("phases", given.text("phases"), {{"1", 1}, {"3", 3}}));
  supply.boils_within = given.has("boils-inside");
  supply.is_turned_down = given.has("turned-down");
}

void take_hold(const Given& given, SaidSite& site) {
  if (!given.has("hold-at")) return;
  const std::string text = given.text("hold-at");
  const ParsedPressure pressure = parse_pressure(text);
  if (!pressure.parsed.value) return take_quantity(given, "hold-at", Dimension::temperature, site.hold_degC);
  if (pressure.kind != PressureKind::gauge)
    refuse_option("hold-at", fmt::format("\"{}\" does not say that it is what the gauge shows", text),
                  R"(write for example --hold-at "15 psi gauge" or --hold-at "121.1 C")");
  state(site.hold_gauge_Pa, "hold-at", *pressure.parsed.value);
}

/// The least known of the probes that sit in bags.
std::optional<double> u_of_site_K(const Site& site, const TableFiles& tables, double at_degC) {
  const std::vector<ProbeClass> classes = read_probe_classes(tables);
  const CheckRules rules = read_check_rules(tables);
  std::optional<double> largest;
  for (const Probe& probe : site.probes) {
    if (probe.role.value != ProbeRole::bag) continue;
    const ProbeClass* probe_class = find_probe_class(classes, probe.probe_class.value.value_or("unstated"));
    if (probe_class == nullptr) continue;
    const double resolution_K = probe.resolution_K.value.value_or(0);
    const ProbeError error = probe.checks.empty()
                                 ? class_error(*probe_class, resolution_K, at_degC)
                                 : checked_error(checks_around(probe.checks, std::nullopt, at_degC),
                                                 *probe_class, rules, resolution_K, at_degC);
    largest = std::max(largest.value_or(0), error.u_K);
  }
  return largest;
}

/// "30 brick, 12 sleeve": several kinds at once.
std::vector<SaidBags> bags_of_load(const Given& given, const std::optional<Site>& site) {
  std::vector<SaidBags> out;
  for (const std::string& part : split_names(given.texts("load"))) {
    const std::size_t blank = part.find(' ');
    const auto number = parse_number(part.substr(0, blank));
    if (!site || blank == std::string::npos || !number || *number < 1 || std::floor(*number) != *number)
      refuse_option("load", fmt::format("\"{}\" is no number and kind of bag", part),
                    "write for example --site farm.toml --load \"120 brick, 24 sleeve\"");
    const std::string name = trimmed_text(part.substr(blank));
    const Bag* bag = find_bag(*site, name);
    if (bag == nullptr) {
      std::vector<std::string> names;
      for (const Bag& each : site->bags)
        names.push_back(each.name);
      refuse_option("load", fmt::format("the site file has no kind of bag \"{}\"", name),
                    fmt::format("choose one of {}", fmt::join(names, ", ")));
    }
    Stated<int> count;
    state(count, "load", static_cast<int>(*number));
    out.push_back({*bag, count});
  }
  return out;
}

} // namespace

po::options_description size_options(const Words& words) {
  OptionGroup bag(words, "load");
  bag.text("bags", "size-bags")
      .texts("load")
      .text_or_nothing("bag", "size-bag")
      .text("mass")
      .text("moisture");
  bag.text("substrate").text("form").text("length").text("width").text("height").text("diameter");
  bag.text("closure").text("neighbours").text("start");
  OptionGroup vessel(words, "vessel");
  vessel.text("site", "size-site").text("vessel", "size-vessel");
  add_vessel_options(vessel);
  vessel.text("volume").text("wall-area").text("wall").text("wall-loss").text("metal").text("metal-mass");
  vessel.text("water").text("purge").text("air-left").text("room").text("inside").text("gap").text("to-wall");
  vessel.text("shelf").text("headroom");
  OptionGroup steam(words, "steam");
  steam.text("steam").text("burner").text("fuel-rate").text("fuel").text("efficiency").text("feed");
  steam.text("dryness").text("boiler-water").flag("boils-inside").flag("turned-down").text("price");
  steam.text("volts").text("phases").text("second-after");
  OptionGroup hold(words, "treatment");
  hold.text("treatment", "size-treatment").text("hold-at").text("u", "size-u");
  OptionGroup beside(words, "beside");
  beside.text("run", "size-run").text("metered");
  OptionGroup many(words, "many");
  many.texts("vary").texts("supply").text("come-up-in").text("within").text("water-within").text("between");
  OptionGroup shown(words, "shown");
  shown.text("steam-on").flag("full", "size-full").flag("json", "size-json").text("csv").text("sheet");
  shown.text("html").text("pdf").text("paper");
  shown.texts("probes", "sheet-probes").flag("us", "size-us").text("tables").text("language").flag("help,h");
  po::options_description all;
  for (const OptionGroup* group : {&bag, &vessel, &steam, &hold, &beside, &many, &shown})
    all.add(group->described());
  return all;
}

void take_steam_supply(const std::string& option, const std::string& text, SaidSupply& supply) {
  const Parsed rate = parse_quantity(text, Dimension::mass_rate);
  if (rate.value) return state(supply.rate_kg_per_s, option, *rate.value);
  const Parsed power = parse_quantity(text, Dimension::power);
  if (!power.value)
    refuse_option(option, power.problem, R"(write for example "6 kW", "1.5 boiler hp" or "12 kg/h")");
  state(supply.power_W, option, *power.value);
}

std::optional<std::int64_t> steam_on_us(const Given& given) {
  if (!given.has("steam-on")) return std::nullopt;
  const auto us = parse_iso_clock_us(given.text("steam-on"));
  if (!us)
    refuse_option("steam-on", fmt::format("\"{}\" is no clock time", given.text("steam-on")),
                  "write for example --steam-on 18:30");
  return us;
}

PlanRequest read_plan_request(const Given& given, const std::optional<Site>& site, const TableFiles& tables) {
  PlanRequest request;
  const Vessel* vessel = vessel_of(given, site);
  if (vessel != nullptr) take_vessel_of_site(*vessel, request);
  if (site) {
    request.site.altitude_m = site->altitude_m;
    request.units = site->units;
    if (const auto kept = learned_file_of(*site)) request.learned = read_learned(kept->name, kept->bytes);
  }
  take_vessel_options(given, request);
  take_supply_options(given, request.supply);
  take_hold(given, request.site);
  take_quantity(given, "start", Dimension::temperature, request.site.start_degC);
  take_quantity(given, "room", Dimension::temperature, request.site.air_degC);
  take_quantity(given, "u", Dimension::temperature_difference, request.site.u_K);
  constexpr double usual_degC = 100;
  if (site && !request.site.u_K.known())
    if (const auto u_K = u_of_site_K(*site, tables, usual_degC)) state(request.site.u_K, "site", *u_K);
  request.treatment = given.has("treatment") ? given.text("treatment") : "";
  if (given.has("load")) {
    if (given.has("bags") || has_bag_options(given))
      refuse_option("load", "says the bags, and another option does too", "leave one of them out");
    request.bags = bags_of_load(given, site);
  } else if (given.has("bags") || has_bag_options(given) || site) {
    SaidBags bags{read_bag(given, site), {}};
    take_count(given, "bags", bags.count);
    request.bags.push_back(std::move(bags));
  }
  Stated<double> second_s;
  take_quantity(given, "second-after", Dimension::duration, second_s);
  if (second_s.known() && *second_s.value < 0)
    refuse_option("second-after", "the second vessel is the later one", "0 or more");
  request.second_after_s = second_s.value;
  if (given.has("us")) request.units = UnitSystem::us;
  return request;
}

} // namespace coldbag
