#include "cli/check_options.h"

#include "cli/options.h"
#include "cli/vessel_options.h"
#include "clock/zone.h"
#include "kinetics/reference_table.h"
#include "quantity/parse.h"

#include <boost/program_options.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <charconv>

namespace coldbag {

namespace po = boost::program_options;

namespace {

double count_option(const std::string& text) {
  double count = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), count);
  if (error != std::errc{} || end != text.data() + text.size() || !(count > 0) || count > 1e30)
    throw UserError(usage(fmt::format("--if-each-bag-held: \"{}\" is no number above 0", text),
                          "write how many of an organism each bag held, for example 1e6"));
  return count;
}

EventTime time_option(const std::string& option, const std::string& text) {
  EventTime time;
  if (const auto iso = parse_iso_time(text); iso && iso->has_clock) {
    time.wall = iso->wall;
    time.offset_s = iso->offset_s;
    return time;
  }
  const Parsed elapsed = parse_quantity(text, Dimension::duration);
  if (!elapsed.value)
    throw UserError(usage(fmt::format("--{}: \"{}\" is no time", option, text),
                          "write 2026-03-08T06:10, or a time since the log began: \"9 h 30 min\""));
  time.elapsed_s = elapsed.value;
  return time;
}

// "WHAT TIME", and behind a comma the probe for what happens to a probe, else a note.
RunEvent event_option(const std::string& all) {
  const std::size_t comma = std::min(all.find(','), all.size());
  const std::string text = all.substr(0, comma);
  const std::size_t blank = text.find(' ');
  RunEvent event;
  const auto kind = find_event(text.substr(0, blank));
  if (!kind || blank == std::string::npos)
    throw UserError(usage(fmt::format("--event: \"{}\" is no event with a time", text),
                          "write for example --event \"steam_off 2026-03-08T06:10\""));
  event.what = *kind;
  event.time = time_option("event", text.substr(blank + 1));
  event.place.key_path = "--event";
  const auto behind = split_names({all.substr(comma)});
  const bool is_of_probe = event.what == EventKind::probe_moved || event.what == EventKind::probe_replaced ||
                           event.what == EventKind::bag_burst;
  std::string& more = is_of_probe ? event.probe : event.note;
  for (const std::string& name : behind)
    more += (more.empty() ? "" : ", ") + name;
  if (event.what != EventKind::bag_burst && is_of_probe && more.empty())
    throw UserError(usage(fmt::format("--event: \"{}\" does not say which probe", all),
                          "write for example --event \"probe_moved 2026-03-08T06:10, Core 1\""));
  return event;
}

Reference reference_option(const std::string& text, const TableFiles& tables) {
  const auto named = read_references(tables);
  if (const NamedReference* found = find_reference(named, text)) return found->reference;
  const std::size_t comma = text.find(',');
  if (comma != std::string::npos) {
    Reference own;
    own.name = "F";
    own.at_degC = quantity_option("reference", text.substr(0, comma), Dimension::temperature);
    own.z_K = quantity_option("reference", text.substr(comma + 1), Dimension::temperature_difference);
    if (own.z_K > 0) return own;
    throw UserError(
        usage("--reference: z must be above zero", "write for example --reference \"121.1 C, 10 K\""));
  }
  std::string keys;
  for (const NamedReference& one : named)
    keys += (keys.empty() ? "" : ", ") + one.key;
  throw UserError(usage(fmt::format("--reference: there is no reference \"{}\"", text),
                        "write \"121.1 C, 10 K\" or one of " + keys));
}

template <class Value>
Value one_of(const std::string& option, const std::string& text,
             const std::vector<std::pair<std::string, Value>>& choices) {
  std::string all;
  for (const auto& [name, value] : choices) {
    if (name == text) return value;
    all += (all.empty() ? "" : ", ") + name;
  }
  throw UserError(
      usage(fmt::format("--{}: \"{}\" is none of its values", option, text), "choose one of " + all));
}

void read_time_options(const po::variables_map& given, LogOptions& log) {
  using Form = TimeRule::Form;
  const auto text = [&](const char* name) { return given[name].as<std::string>(); };
  if (given.count("time-form")) {
    const std::string form = text("time-form");
    log.time_form = one_of<Form>("time-form", form,
                                 {{"clock", Form::clock},
                                  {"elapsed", Form::elapsed},
                                  {"epoch-s", Form::epoch},
                                  {"epoch-ms", Form::epoch},
                                  {"serial-1900", Form::serial_1900},
                                  {"serial-1904", Form::serial_1904}});
    if (*log.time_form == Form::epoch)
      log.epoch_unit = form == "epoch-s" ? ColumnUnit::seconds : ColumnUnit::milliseconds;
  }
  if (given.count("date-order"))
    log.date_order = one_of<DateOrder>("date-order", text("date-order"),
                                       {{"day-first", DateOrder::day_first},
                                        {"month-first", DateOrder::month_first},
                                        {"year-first", DateOrder::year_first}});
  if (given.count("date")) {
    const auto date = parse_iso_time(text("date"));
    if (!date || date->has_clock)
      throw UserError(usage(fmt::format("--date: \"{}\" is no date", text("date")),
                            "write for example --date 2026-03-08"));
    log.date = date->wall;
  }
}

void read_log_options(const po::variables_map& given, LogOptions& log) {
  const auto text = [&](const char* name) { return given[name].as<std::string>(); };
  if (given.count("unit"))
    log.temperature_unit = one_of<ColumnUnit>(
        "unit", text("unit"), {{"C", ColumnUnit::degC}, {"F", ColumnUnit::degF}, {"K", ColumnUnit::kelvin}});
  if (given.count("elapsed-unit"))
    log.elapsed_unit = one_of<ColumnUnit>("elapsed-unit", text("elapsed-unit"),
                                          {{"s", ColumnUnit::seconds},
                                           {"min", ColumnUnit::minutes},
                                           {"h", ColumnUnit::hours},
                                           {"d", ColumnUnit::days},
                                           {"ms", ColumnUnit::milliseconds}});
  read_time_options(given, log);
  if (given.count("delimiter"))
    log.delimiter = one_of<char>("delimiter", text("delimiter"),
                                 {{"comma", ','},
                                  {"semicolon", ';'},
                                  {"tab", '\t'},
                                  {"pipe", '|'},
                                  {"blanks", ' '},
                                  {",", ','},
                                  {";", ';'},
                                  {"|", '|'}});
  if (given.count("encoding"))
    log.encoding = one_of<TextEncoding>("encoding", text("encoding"),
                                        {{"utf-8", TextEncoding::utf8},
                                         {"utf-16le", TextEncoding::utf16_le},
                                         {"utf-16be", TextEncoding::utf16_be},
                                         {"windows-1252", TextEncoding::windows_1252}});
  if (given.count("decimal"))
    log.decimal_mark =
        one_of<char>("decimal", text("decimal"), {{"point", '.'}, {"comma", ','}, {".", '.'}, {",", ','}});
  if (given.count("time-column")) log.time_column = text("time-column");
  if (given.count("date-column")) log.date_column = text("date-column");
  if (given.count("pressure-column")) log.pressure_column = text("pressure-column");
  if (given.count("pressure-unit")) {
    const std::string unit = text("pressure-unit");
    const std::size_t blank = unit.find(' ');
    log.pressure_unit = one_of<ColumnUnit>("pressure-unit", unit.substr(0, blank),
                                           {{"kPa", ColumnUnit::kPa},
                                            {"hPa", ColumnUnit::hPa},
                                            {"MPa", ColumnUnit::MPa},
                                            {"mbar", ColumnUnit::mbar},
                                            {"Pa", ColumnUnit::Pa},
                                            {"bar", ColumnUnit::bar},
                                            {"psi", ColumnUnit::psi}});
    log.pressure_basis =
        one_of<PressureBasis>("pressure-unit", blank == std::string::npos ? "" : unit.substr(blank + 1),
                              {{"gauge", PressureBasis::gauge}, {"absolute", PressureBasis::absolute}});
  }
  if (given.count("zone")) {
    log.zone = Zone::find(text("zone"));
    log.zone_given_by = "--zone";
    if (!log.zone) {
      std::string like;
      for (const std::string& name : zones_like(text("zone")))
        like += (like.empty() ? "" : ", ") + name;
      throw UserError(
          usage(fmt::format("--zone: there is no time zone \"{}\"", text("zone")),
                like.empty() ? "write for example America/Bogota or +02:00" : "did you mean " + like));
    }
  }
}

} // namespace

po::options_description check_options() {
  const auto text = [] { return po::value<std::string>(); };
  const auto texts = [] { return po::value<std::vector<std::string>>()->composing(); };
  po::options_description judged("What to judge by");
  judged.add_options()("treatment", text(), "sterilize, atmospheric_steam, pasteurize_straw, ...")(
      "reference", text(), "F by another reference: a name, or \"121.1 C, 10 K\"")(
      "if-each-bag-held", text(), "so many of an organism, \"1e6\": reckons survivors")(
      "tables", text(), "folder with data tables of your own");
  po::options_description probes("Where the probes were");
  probes.add_options()("in-bag", texts(), "column of a probe in a bag; commas between more")(
      "vessel", texts(), "column of a probe in the steam")("leave-out", texts(),
                                                           "probe that is not to be relied on")(
      "class", text(), "class of probes nobody described: pt-a, tc-k2, ...")(
      "u", text(), "their standard uncertainty: \"0.3 K\"");
  po::options_description site("Site and vessel");
  site.add_options()("site", text(), "site file, for a log without a run file");
  add_vessel_options(site);
  po::options_description run("The run");
  run.add_options()("event", texts(), "what happened: \"steam_off 2026-03-08T06:10\"")(
      "run", po::value<int>(), "which of several runs in one log, from 1")(
      "from", text(), "leave out what was logged before")("to", text(), "leave out what was logged after")(
      "running", "the run is not over")("by-hand", "the readings were written by hand");
  po::options_description log("Reading the log");
  log.add_options()("unit", text(), "of temperatures without one: C, F or K")(
      "zone", text(), "of its clock: America/Bogota, +02:00")("delimiter", text(),
                                                              "comma, semicolon, tab, pipe or blanks")(
      "encoding", text(), "utf-8, utf-16le, utf-16be or windows-1252")("decimal", text(), "point or comma")(
      "time-column", text(), "name or number")("date-column", text(), "name or number")(
      "time-form", text(), "clock, elapsed, epoch-s, epoch-ms, serial-1900, serial-1904")(
      "elapsed-unit", text(), "s, min, h, d or ms")("date-order", text(),
                                                    "day-first, month-first or year-first")(
      "date", text(), "of the first row, for times of day alone: 2026-03-08")(
      "pressure-column", text(), "name of the vessel pressure column")("pressure-unit", text(),
                                                                       "of that column: \"psi gauge\"");
  po::options_description shown("What is shown");
  shown.add_options()("explain", "how the log was understood")("full",
                                                               "bands, bounds, log reductions, evidence")(
      "json", "one JSON object (docs/formats/check-json.md)")("no-color", "no bold type")("help,h",
                                                                                          "this help");
  po::options_description all;
  all.add(judged).add(probes).add(site).add(run).add(log).add(shown);
  return all;
}

RunOptions read_check_options(const po::variables_map& given, const TableFiles& tables) {
  RunOptions options;
  const auto text = [&](const char* name) { return given[name].as<std::string>(); };
  const auto list = [&](const char* name) {
    return given.count(name) ? given[name].as<std::vector<std::string>>() : std::vector<std::string>{};
  };
  if (given.count("treatment")) options.treatment = text("treatment");
  options.in_bag = split_names(list("in-bag"));
  options.vessel = split_names(list("vessel"));
  options.left_out = split_names(list("leave-out"));
  const VesselOptions vessel = read_vessel_options(given);
  options.altitude_m = vessel.altitude_m;
  options.site_pressure_Pa = vessel.site_pressure_Pa;
  options.vessel_kind = vessel.kind;
  options.rating_gauge_Pa = vessel.rating_gauge_Pa;
  if (given.count("class")) options.probe_class = text("class");
  if (given.count("u")) {
    options.u_K = quantity_option("u", text("u"), Dimension::temperature_difference);
    if (*options.u_K < 0)
      throw UserError(usage("--u: an uncertainty is not below zero", "write for example --u \"0.3 K\""));
  }
  if (given.count("if-each-bag-held")) options.initial_count = count_option(text("if-each-bag-held"));
  if (given.count("reference")) options.reference = reference_option(text("reference"), tables);
  for (const std::string& event : list("event"))
    options.events.push_back(event_option(event));
  if (given.count("run")) options.run_number = given["run"].as<int>();
  if (given.count("from")) options.from = time_option("from", text("from"));
  if (given.count("to")) options.to = time_option("to", text("to"));
  options.is_running = given.count("running") > 0;
  options.by_hand = given.count("by-hand") > 0;
  read_log_options(given, options.log);
  return options;
}

} // namespace coldbag
