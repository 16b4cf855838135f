#include "cli/lag.h"

#include "cli/files.h"
#include "cli/lag_options.h"
#include "cli/lag_run.h"
#include "cli/language.h"
#include "cli/options.h"
#include "cli/vessel_options.h"
#include "cli/write_file.h"
#include "farm/site.h"
#include "heatup/lag.h"
#include "heatup/lag_json.h"
#include "heatup/learned_file.h"
#include "report/lag_text.h"

#include <boost/program_options.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <utility>

namespace coldbag {

namespace {

namespace po = boost::program_options;

constexpr const char* example =
    R"(write for example coldbag lag --bag --mass "2.3 kg" --steam "121.1 C" --rated "20 psi gauge")";

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
  std::optional<Learned> learned;
  if (given.has("site")) {
    const NamedText file = read_text_file(given.text("site"));
    site = read_site(file.name, file.bytes);
    if (const auto kept = learned_file_of(*site)) learned = read_learned(kept->name, kept->bytes);
  }
  const HeatingTables heating = read_heating_tables(tables);
  const Bag bag = read_bag(given, site);
  const SaidSteam said = read_steam(given, site);
  std::vector<Complaint> complaints;
  const auto described = gathered(complaints, [&] { return describe_bag(bag, {}, {}, heating); });
  const auto steam = gathered(complaints, [&] { return lag_steam(said, heating.figures); });
  std::optional<LagForecast> forecast;
  if (described && steam)
    forecast = gathered(complaints, [&] {
      return forecast_lag(bag.name, *described, *steam, heating, learned ? &*learned : nullptr);
    });
  if (!forecast) throw UserError(std::move(complaints));
  forecast->units = given.has("us") ? UnitSystem::us : site ? site->units : UnitSystem::metric;
  return *std::move(forecast);
}

/// What of the command line says something in each way to ask; the rest would be passed over in silence.
constexpr std::array only_before_a_run{"steam", "come-up", "start", "csv"};
constexpr std::array not_when_learning{"us", "json", "full", "explain", "bags"};
constexpr std::array also_before_a_run{
    "bag",      "mass",    "moisture", "substrate",  "form",     "length",   "width",  "height",
    "diameter", "closure", "us",       "neighbours", "site",     "altitude", "vented", "pressure-at-site",
    "rated",    "full",    "json",     "tables",     "language", "help"};

template <class Names>
void refuse_any(const Given& given, const Names& names, const std::string& why, const std::string& remedy) {
  for (const auto& name : names)
    if (given.has(name)) throw UserError(usage(fmt::format("--{}: {}", name, why), remedy));
}

void refuse_what_says_nothing(const Given& given, const po::options_description& described) {
  const bool learns = given.has("learn");
  const bool has_run = learns || given.has("file");
  if (has_run)
    refuse_any(given, only_before_a_run, "says nothing of a run that is logged",
               "leave it out, or name no run");
  if (learns)
    refuse_any(given, not_when_learning, "says nothing beside --learn", "leave it out, or leave out --learn");
  if (!learns)
    refuse_any(given, std::array{"out"}, "says where to keep what --learn finds",
               "add --learn, or leave it out");
  if (has_run) return;
  std::vector<std::string> others;
  for (const auto& option : described.options()) {
    const std::string& name = option->long_name();
    const auto is = [&](const char* known) { return name == known; };
    if (std::ranges::none_of(also_before_a_run, is) && std::ranges::none_of(only_before_a_run, is))
      others.push_back(name);
  }
  refuse_any(given, others, "says something of a run or a log, and none is named",
             "name the run, or leave it out");
}

} // namespace

int lag_command(const std::vector<std::string>& arguments) {
  const po::options_description described = lag_options();
  const Given given = parse_options("lag", described, {{"file", -1}}, with_bag_named(arguments));
  if (given.has("help")) {
    print(help_text("coldbag lag RUN.toml | LOG.csv ...\n"
                    "coldbag lag --learn RUN.toml ... [--out FILE]\n"
                    "coldbag lag --bag [NAME] [options]\n\n"
                    "Of a run: how far each core lagged the steam, beside what its mass and\n"
                    "moisture let expect, and which bag is out of the way. Of many: what they\n"
                    "showed, kept for the next. Before any: how long the core of a bag takes to\n"
                    "warm; a forecast, no promise.\n",
                    described));
    return 0;
  }
  refuse_what_says_nothing(given, described);
  const TableFiles tables = TableFiles::open(given.text("tables"));
  if (given.has("learn")) return learn_from_runs(given, tables);
  if (given.has("file")) return tell_runs(given, tables);
  if (!given.has("bag") && !given.has("mass") && !given.has("site"))
    throw UserError(usage("lag needs a run, a log, or to know the bag", example));
  const LagForecast forecast = forecast_for(given, tables);
  if (given.has("csv")) write_new_file(given.text("csv"), lag_csv(forecast));
  print(given.has("json") ? lag_json(forecast)
                          : lag_text(forecast, program_words(tables, given), given.has("full")));
  return 0;
}

} // namespace coldbag
