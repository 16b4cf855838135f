#include "cli/lag.h"

#include "cli/files.h"
#include "cli/options.h"
#include "cli/vessel_options.h"
#include "cli/write_file.h"
#include "farm/fit.h"
#include "farm/site.h"
#include "heatup/lag.h"
#include "heatup/lag_json.h"
#include "report/lag_text.h"

#include <boost/program_options.hpp>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <array>
#include <utility>

namespace coldbag {

namespace {

namespace po = boost::program_options;

constexpr const char* example =
    R"(write for example coldbag lag --bag --mass "2.3 kg" --steam "121.1 C" --rated "20 psi gauge")";

po::options_description lag_options() {
  const auto text = [] { return po::value<std::string>(); };
  po::options_description bag("The bag");
  bag.add_options()("bag", po::value<std::string>()->implicit_value(""),
                    "tells before there is any log; NAME takes a kind of bag from the site file")(
      "mass", text(), "of the filled bag: \"2.3 kg\"")("moisture", text(), "wet basis: \"62 %\"")(
      "substrate", text(), "in words: \"oak sawdust\"")("form", text(), "brick, column or slab")(
      "length", text(), "\"20 cm\"")("width", text(), "\"13 cm\"")("height", text(), "\"15 cm\"")(
      "diameter", text(), "of a column: \"18 cm\"")("closure", text(), "breathing, sealed or open")(
      "neighbours", text(), "apart, sides (they touch) or all (stacked too)");
  po::options_description steam("The steam");
  steam.add_options()("steam", text(), R"("121.1 C", or "15 psi gauge"; else as hot as an open vessel gets)")(
      "come-up", text(), "from steam at the bags until it is that hot: \"40 min\"")(
      "start", text(), "of the bags before: \"20 C\"");
  po::options_description site("Site and vessel");
  site.add_options()("site", text(), "site file: bags, altitude, vessel, units");
  add_vessel_options(site);
  po::options_description shown("What is shown");
  shown.add_options()("full", "every figure it rests on")("json",
                                                          "one JSON object (docs/formats/lag-json.md)")(
      "csv", text(), "new file for the curve, minute by minute")("us", "F, lb and in")(
      "tables", text(), "folder with data tables of your own")("help,h", "this help");
  po::options_description all;
  all.add(bag).add(steam).add(site).add(shown);
  return all;
}

/// "--bag NAME" as "--bag=NAME": what follows the option is its name unless it is an option itself.
std::vector<std::string> with_bag_named(const std::vector<std::string>& arguments) {
  std::vector<std::string> out;
  for (const std::string& argument : arguments) {
    if (!out.empty() && out.back() == "--bag" && !argument.starts_with('-'))
      out.back() += "=" + argument;
    else
      out.push_back(argument);
  }
  return out;
}

Place option_place(const std::string& option) {
  return {"", 0, 0, "--" + option};
}

template <class Value>
void state(Stated<Value>& stated, const std::string& option, Value value) {
  stated = {std::move(value), false, option_place(option)};
}

void take_quantity(const Given& given, const std::string& option, Dimension dimension,
                   Stated<double>& stated) {
  if (given.has(option)) state(stated, option, quantity_option(option, given.text(option), dimension));
}

void take_side(const Given& given, const std::string& option, Stated<double>& stated) {
  if (!given.has(option)) return;
  take_quantity(given, option, Dimension::length, stated);
  if (!(*stated.value > 0))
    throw UserError(usage(fmt::format("--{}: a side of nothing is no bag", option), "above zero"));
}

void take_word(const Given& given, const std::string& option, const std::vector<std::string>& words,
               Stated<std::string>& stated) {
  if (!given.has(option)) return;
  const auto text = given.text(option);
  for (const std::string& word : words)
    if (word == text) return state(stated, option, text);
  throw no_choice(option, text, words);
}

/// The kind of bag that the site file describes and the options name, or an empty one.
Bag bag_of_site(const Given& given, const std::optional<Site>& site) {
  const std::string name = given.has("bag") ? given.text("bag") : "";
  if (!site && !name.empty())
    throw UserError(
        usage(fmt::format("--bag: \"{}\" is a kind of bag of a site file, and none is given", name),
              "add --site FARM.toml, or describe the bag by --mass and the rest"));
  if (!site) return {};
  std::vector<std::string> names;
  for (const Bag& bag : site->bags)
    names.push_back(bag.name);
  if (name.empty() && site->bags.size() == 1) return site->bags.front();
  if (name.empty() && names.size() > 1 && !given.has("mass"))
    throw UserError(usage("--bag: the site file has several kinds of bag",
                          fmt::format("choose one of {}", fmt::join(names, ", "))));
  if (name.empty()) return {};
  if (auto unknown = unknown_name("kind of bag in the site file called", name, option_place("bag"), names)) {
    unknown->trouble = Trouble::usage;
    throw UserError(*std::move(unknown));
  }
  return *find_bag(*site, name);
}

Bag read_bag(const Given& given, const std::optional<Site>& site) {
  Bag bag = bag_of_site(given, site);
  take_quantity(given, "mass", Dimension::mass, bag.mass_kg);
  take_quantity(given, "moisture", Dimension::fraction, bag.moisture_wb);
  if (given.has("substrate")) state(bag.substrate, "substrate", given.text("substrate"));
  take_word(given, "form", {"brick", "column", "slab", "loose"}, bag.form);
  take_side(given, "length", bag.length_m);
  take_side(given, "width", bag.width_m);
  take_side(given, "height", bag.height_m);
  take_side(given, "diameter", bag.diameter_m);
  take_word(given, "closure", {"breathing", "sealed", "open"}, bag.closure);
  take_word(given, "neighbours", {"apart", "sides", "all"}, bag.neighbours);
  return bag;
}

/// A temperature, or the gauge pressure of steam that is saturated.
void take_steam(const Given& given, SaidSteam& said) {
  if (!given.has("steam")) return;
  const auto text = given.text("steam");
  const ParsedPressure pressure = parse_pressure(text);
  if (!pressure.parsed.value) return take_quantity(given, "steam", Dimension::temperature, said.steam_degC);
  if (pressure.kind != PressureKind::gauge)
    throw UserError(usage(fmt::format("--steam: \"{}\" does not say that it is what the gauge shows", text),
                          R"(write for example --steam "15 psi gauge" or --steam "121.1 C")"));
  state(said.steam_gauge_Pa, "steam", *pressure.parsed.value);
}

SaidSteam read_steam(const Given& given, const std::optional<Site>& site) {
  SaidSteam said;
  if (site) {
    said.altitude_m = site->altitude_m;
    if (site->vessels.size() == 1) {
      said.vessel_kind = site->vessels.front().kind;
      said.rating_gauge_Pa = site->vessels.front().rating_gauge_Pa;
    }
  }
  const VesselOptions vessel = read_vessel_options(given);
  if (vessel.altitude_m) state(said.altitude_m, "altitude", *vessel.altitude_m);
  if (vessel.site_pressure_Pa) state(said.site_pressure_Pa, "pressure-at-site", *vessel.site_pressure_Pa);
  if (vessel.kind) {
    state(said.vessel_kind, vessel.rating_gauge_Pa ? "rated" : "vented", *vessel.kind);
    said.rating_gauge_Pa = {};
  }
  if (vessel.rating_gauge_Pa) state(said.rating_gauge_Pa, "rated", *vessel.rating_gauge_Pa);
  take_steam(given, said);
  take_quantity(given, "come-up", Dimension::duration, said.come_up_s);
  take_quantity(given, "start", Dimension::temperature, said.start_degC);
  return said;
}

/// What `make` makes; its complaints join the others, those of the command line as such.
template <class Make>
auto gathered(std::vector<Complaint>& complaints, const Make& make) -> std::optional<decltype(make())> {
  try {
    return make();
  } catch (const UserError& error) {
    for (Complaint complaint : error.complaints()) {
      if (complaint.place.source_name.empty()) complaint.trouble = Trouble::usage;
      complaints.push_back(std::move(complaint));
    }
    return std::nullopt;
  }
}

LagForecast forecast_for(const Given& given, const TableFiles& tables) {
  std::optional<Site> site;
  if (given.has("site")) {
    const NamedText file = read_text_file(given.text("site"));
    site = read_site(file.name, file.bytes);
  }
  const HeatingTables heating = read_heating_tables(tables);
  const Bag bag = read_bag(given, site);
  const SaidSteam said = read_steam(given, site);
  std::vector<Complaint> complaints;
  const auto described = gathered(complaints, [&] { return describe_bag(bag, {}, {}, heating); });
  const auto steam = gathered(complaints, [&] { return lag_steam(said, heating.figures); });
  std::optional<LagForecast> forecast;
  if (described && steam)
    forecast = gathered(complaints, [&] { return forecast_lag(bag.name, *described, *steam, heating); });
  if (!forecast) throw UserError(std::move(complaints));
  forecast->units = given.has("us") ? UnitSystem::us : site ? site->units : UnitSystem::metric;
  return *std::move(forecast);
}

} // namespace

int lag_command(const std::vector<std::string>& arguments) {
  const po::options_description described = lag_options();
  const Given given = parse_options("lag", described, {{"log", -1}}, with_bag_named(arguments));
  if (given.has("help")) {
    print(help_text(
        "coldbag lag --bag [NAME] [options]\n\nTells how long the core of a bag takes to warm, before "
        "there is any log:\ngood, likely, slow. A forecast, no promise.\n",
        described));
    return 0;
  }
  if (given.has("log"))
    throw UserError(
        usage(fmt::format("\"{}\": lag does not read logs", given.texts("log").front()), example));
  if (!given.has("bag") && !given.has("mass") && !given.has("site"))
    throw UserError(usage("lag needs to know the bag", example));
  const TableFiles tables = TableFiles::open(given.has("tables") ? given.text("tables") : "");
  const LagForecast forecast = forecast_for(given, tables);
  if (given.has("csv")) write_new_file(given.text("csv"), lag_csv(forecast));
  print(given.has("json") ? lag_json(forecast)
                          : lag_text(forecast, Words::read(tables, "en"), given.has("full")));
  return 0;
}

} // namespace coldbag
