#include "cli/check.h"

#include "cli/files.h"
#include "cli/options.h"
#include "cli/progress.h"
#include "clock/zone.h"
#include "kinetics/reference_table.h"
#include "quantity/parse.h"
#include "report/many_text.h"
#include "report/run_text.h"
#include "report/understanding_text.h"
#include "run/judge.h"
#include "run/run_report_json.h"

#include <boost/program_options.hpp>

#include <fmt/format.h>

#include <tbb/parallel_for.h>

#include <charconv>
#include <cstdio>
#include <cstdlib>
#include <unistd.h>

namespace coldbag {

namespace {

namespace po = boost::program_options;

po::options_description options_of_check() {
  po::options_description all("Options");
  auto add = all.add_options();
  add("help,h", "this help");
  add("treatment", po::value<std::string>(),
      "what to judge the run by: sterilize, atmospheric_steam, pasteurize_straw, ...");
  add("in-bag", po::value<std::vector<std::string>>()->composing(),
      "column of a probe in a bag (again for more, or with commas)");
  add("vessel", po::value<std::vector<std::string>>()->composing(), "column of a probe in the steam");
  add("leave-out", po::value<std::vector<std::string>>()->composing(), "probe that is not to be relied on");
  add("altitude", po::value<std::string>(), "of the site: \"1150 m\"");
  add("pressure-at-site", po::value<std::string>(), "barometer as it stands: \"88.2 kPa\"");
  add("vented", "the vessel is open to the air");
  add("rated", po::value<std::string>(), "the vessel is pressure-rated: \"15 psi gauge\"");
  add("site", po::value<std::string>(), "site file, for a log without a run file");
  add("class", po::value<std::string>(), "class of probes nobody described: pt-a, tc-k2, ...");
  add("u", po::value<std::string>(), "standard uncertainty of probes nobody described: \"0.3 K\"");
  add("reference", po::value<std::string>(), "F by another reference: a name, or \"121.1 C, 10 K\"");
  add("if-each-bag-held", po::value<std::string>(),
      "so many of an organism: reckons survivors and bad bags, \"1e6\"");
  add("event", po::value<std::vector<std::string>>()->composing(),
      "what happened: \"steam_off 2026-03-08T06:10\"");
  add("run", po::value<int>(), "which of several runs in one log, from 1");
  add("from", po::value<std::string>(), "leave out what was logged before this time");
  add("to", po::value<std::string>(), "leave out what was logged after this time");
  add("running", "the run is not over");
  add("by-hand", "the readings were written by hand");
  add("unit", po::value<std::string>(), "of temperatures without one: C, F or K");
  add("zone", po::value<std::string>(), "of the log's clock: America/Bogota, +02:00");
  add("delimiter", po::value<std::string>(), "comma, semicolon, tab, pipe or blanks");
  add("encoding", po::value<std::string>(), "utf-8, utf-16le, utf-16be or windows-1252");
  add("decimal", po::value<std::string>(), "point or comma");
  add("time-column", po::value<std::string>(), "name or number of the time column");
  add("date-column", po::value<std::string>(), "name or number of the date column");
  add("pressure-column", po::value<std::string>(), "name of the vessel pressure column");
  add("pressure-unit", po::value<std::string>(),
      "of that column: kPa, bar or psi, with gauge or absolute: \"psi gauge\"");
  add("elapsed-unit", po::value<std::string>(), "of elapsed times: s, min, h or d");
  add("time-form", po::value<std::string>(),
      "how times are written: clock, elapsed, epoch-s, epoch-ms, serial-1900, serial-1904");
  add("date-order", po::value<std::string>(), "of dates like 08/03/2026: day-first, month-first, year-first");
  add("date", po::value<std::string>(), "of the first row, where the log has times of day alone: 2026-03-08");
  add("explain", "show how the log was understood");
  add("full", "bands, bounds, log reductions, evidence, how it was computed");
  add("json", "one JSON object (docs/formats/check-json.md)");
  add("tables", po::value<std::string>(), "folder with data tables of your own");
  add("no-color", "no bold type");
  return all;
}

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

RunEvent event_option(const std::string& text) {
  const std::size_t blank = text.find(' ');
  RunEvent event;
  const auto kind = find_event(text.substr(0, blank));
  if (!kind || blank == std::string::npos)
    throw UserError(usage(fmt::format("--event: \"{}\" is no event with a time", text),
                          "write for example --event \"steam_off 2026-03-08T06:10\""));
  event.what = *kind;
  event.time = time_option("event", text.substr(blank + 1));
  event.place.key_path = "--event";
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

RunOptions read_options(const po::variables_map& given, const TableFiles& tables) {
  RunOptions options;
  const auto text = [&](const char* name) { return given[name].as<std::string>(); };
  const auto list = [&](const char* name) {
    return given.count(name) ? given[name].as<std::vector<std::string>>() : std::vector<std::string>{};
  };
  if (given.count("treatment")) options.treatment = text("treatment");
  options.in_bag = split_names(list("in-bag"));
  options.vessel = split_names(list("vessel"));
  options.left_out = split_names(list("leave-out"));
  if (given.count("altitude")) {
    options.altitude_m = quantity_option("altitude", text("altitude"), Dimension::length);
    if (*options.altitude_m < -500 || *options.altitude_m > 9000)
      throw UserError(
          usage("--altitude: outside -500 to 9,000 m", "write for example --altitude \"1150 m\""));
  }
  if (given.count("pressure-at-site")) {
    options.site_pressure_Pa =
        quantity_option("pressure-at-site", text("pressure-at-site"), Dimension::pressure);
    if (*options.site_pressure_Pa < 30000 || *options.site_pressure_Pa > 120000)
      throw UserError(usage("--pressure-at-site: outside 30 to 120 kPa",
                            "write the barometer's absolute reading, for example \"88.2 kPa\""));
  }
  if (given.count("vented") && given.count("rated"))
    throw UserError(
        usage("--vented and --rated contradict each other", "say which of the two the vessel is"));
  if (given.count("vented")) options.vessel_kind = VesselKind::vented;
  if (given.count("rated")) {
    options.vessel_kind = VesselKind::pressure_rated;
    const ParsedPressure rating = parse_pressure(text("rated"));
    if (!rating.parsed.value)
      throw UserError(usage("--rated: " + rating.parsed.problem, rating.parsed.remedy));
    if (rating.kind != PressureKind::gauge)
      throw UserError(
          usage("--rated: a rating is a gauge pressure", "write for example --rated \"15 psi gauge\""));
    options.rating_gauge_Pa = rating.parsed.value;
  }
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

RunRequest request_for(const std::string& path, const po::variables_map& given, const RunOptions& options) {
  RunRequest request;
  request.options = options;
  if (given.count("site")) request.site = read_text_file(given["site"].as<std::string>());
  if (is_toml(path)) {
    request.run_file = read_text_file(path);
    add_named_files(request, path);
  } else {
    request.logs.push_back(path == "-" ? Source::standard_input() : Source::file(path));
  }
  return request;
}

bool wants_colour(const po::variables_map& given) {
  const char* no_color = std::getenv("NO_COLOR");
  return isatty(STDOUT_FILENO) != 0 && !given.count("no-color") && (no_color == nullptr || *no_color == '\0');
}

int status_of(const std::vector<Outcome>& outcomes) {
  int status = 0;
  for (const Outcome& one : outcomes) {
    if (one.error) return static_cast<int>(one.error->trouble());
    const int own = exit_status(*one.report);
    if (own == 1 || status == 1)
      status = 1;
    else if (own == 2)
      status = 2;
  }
  return status;
}

std::vector<Outcome> judge_many(const std::vector<std::string>& paths, const po::variables_map& given,
                                const RunOptions& options, const TableFiles& tables, const Words& words) {
  std::vector<Outcome> outcomes(paths.size());
  Progress progress(words, paths.size());
  tbb::parallel_for(std::size_t{0}, paths.size(), [&](std::size_t i) {
    outcomes[i].name = paths[i];
    try {
      outcomes[i].report = judge_run(open_run(request_for(paths[i], given, options), tables));
    } catch (const UserError& error) {
      outcomes[i].error = error;
    }
    progress.add_one();
  });
  return outcomes;
}

int check_many(const std::vector<std::string>& paths, const po::variables_map& given,
               const RunOptions& options, const TableFiles& tables, const Words& words) {
  const std::vector<Outcome> outcomes = judge_many(paths, given, options, tables, words);
  std::string text;
  if (given.count("json")) {
    text = "{\"runs\": [";
    for (const Outcome& one : outcomes)
      if (one.report) text += (text.back() == '[' ? "\n" : ",\n") + report_json(*one.report);
    text += "]}\n";
    for (const Outcome& one : outcomes)
      if (one.error) std::fprintf(stderr, "coldbag: %s\n", one.error->what());
  } else {
    text = many_text(outcomes, words);
  }
  print(text);
  return status_of(outcomes);
}

} // namespace

int check_command(const std::vector<std::string>& arguments) {
  const po::options_description described = options_of_check();
  const po::variables_map given = parse_options("check", described, {"file", -1}, arguments);
  if (given.count("help")) {
    print(help_text("coldbag check RUN.toml | LOG.csv ...\n\nJudges a run by its coldest probed bag. Exit "
                    "status: 0 pass, 1 fail, 2 unproven.\n\n"
                    "  coldbag check tonight/run.toml\n"
                    "  coldbag check log.csv --treatment atmospheric_steam --in-bag \"Core 1\" \\\n    "
                    "--altitude \"1150 m\" --vented\n",
                    described));
    return 0;
  }
  if (!given.count("file"))
    throw UserError(usage("check needs a run file or a log", "write for example coldbag check log.csv"));
  const TableFiles tables = TableFiles::open(given.count("tables") ? given["tables"].as<std::string>() : "");
  const Words words = Words::read(tables, "en");
  const RunOptions options = read_options(given, tables);
  const auto paths = given["file"].as<std::vector<std::string>>();
  if (paths.size() > 1) return check_many(paths, given, options, tables, words);
  const RunReport report = [&] {
    const Progress progress(words, 1);
    return judge_run(open_run(request_for(paths.front(), given, options), tables));
  }();
  if (given.count("json")) {
    print(report_json(report));
  } else {
    std::string text;
    if (given.count("explain"))
      for (const LogResult& log : report.logs)
        text += understanding_text(log.name, log.understanding, words) + "\n";
    print(text + run_text(report, words, {given.count("full") > 0, wants_colour(given), paths.front()}));
  }
  return exit_status(report);
}

} // namespace coldbag
