#include "cli/probe.h"

#include "cli/error_language.h"
#include "cli/files.h"
#include "cli/language.h"
#include "cli/probe_entries.h"
#include "cli/probe_log.h"
#include "cli/probe_questions.h"
#include "cli/write_file.h"
#include "farm/check_text.h"
#include "report/layout.h"

#include <boost/program_options.hpp>

namespace coldbag {

namespace {

namespace po = boost::program_options;

po::options_description options_of_probe() {
  po::options_description all("Options");
  auto add = all.add_options();
  add("help,h", "this help");
  add("ice", po::value<std::string>(), "what the probe read in ice: \"0.4 C\"");
  add("boil", po::value<std::string>(), "what it read in the steam over boiling water: \"99.1 C\"");
  add("ice-left", po::value<std::string>(), "the same in ice, after it was adjusted");
  add("boil-left", po::value<std::string>(), "the same at the boil, after it was adjusted");
  add("point", po::value<std::vector<std::string>>()->composing(),
      R"(beside a known thermometer: "true, read", as "60.0 C, 60.4 C" (twice for two points))");
  add("reference-u", po::value<std::string>(), "standard uncertainty of that thermometer: \"0.1 K\"");
  add("log", po::value<std::string>(), "a log in which the probe sat in ice, then at the boil");
  add("column", po::value<std::string>(), "its column there, where it is not the one in the site file");
  add("unit", po::value<std::string>(), "of readings without one: C or F");
  add("resolution", po::value<std::string>(), "smallest step it shows: \"0.1 K\"");
  add("altitude", po::value<std::string>(), "where the water boiled, if not at the site: \"1150 m\"");
  add("pressure-at-site", po::value<std::string>(), "barometer as it stands: \"88.2 kPa\"");
  add("pressure-at-sea-level", po::value<std::string>(), "barometer set to sea level: \"101.9 kPa\"");
  add("by", po::value<std::string>(), "who made the check");
  add("on", po::value<std::string>(), "when: 2026-03-01T10:30 (now, where left out)");
  add("next-due", po::value<std::string>(), "day of the next check: 2027-03-01 (else in a year)");
  add("show", "show what the check says and write nothing");
  add("tables", po::value<std::string>(), "folder with data tables of your own");
  add_language_option(all);
  return all;
}

void must_not_mix(const Given& given) {
  const bool typed = given.has("ice") || given.has("boil");
  const bool points = !given.texts("point").empty();
  if ((typed ? 1 : 0) + (points ? 1 : 0) + (given.has("log") ? 1 : 0) > 1)
    throw UserError(usage("readings come from --ice and --boil, from --point or from --log, one of the three",
                          "leave the others out"));
  if ((given.has("ice-left") || given.has("boil-left")) && points)
    throw UserError(usage("--ice-left and --boil-left do not go with --point",
                          "make the check after adjusting a check of its own"));
}

bool has_reading(const Given& given) {
  return given.has("ice") || given.has("boil") || given.has("log") || given.has("point");
}

std::string rest_line(const std::string& key, const Rest& rest, const Words& words) {
  return wrapped(words.text(key, {{"readings", std::to_string(rest.readings)},
                                  {"minutes", print_duration(rest.to_s - rest.from_s)},
                                  {"from", print_duration(rest.from_s)}}),
                 2);
}

Points points_found(const Given& given, const Bench& bench, const Words& words) {
  if (given.has("point")) return reference_points(given, bench);
  if (!given.has("log")) return typed_points(given, bench, "ice", "boil");
  const RestsFound rests = log_points(given, bench);
  if (rests.in_ice) print(rest_line("probe_rest_in_ice", *rests.in_ice, words));
  if (rests.at_boil) print(rest_line("probe_rest_at_boil", *rests.at_boil, words));
  return rests.points;
}

int make_check(Given given, const std::string& path, const std::string& name, const ErrorWords& errors) {
  const TableFiles tables = TableFiles::open(given.text("tables"));
  const Words words = program_words(tables, given);
  const NamedText file = read_text_file(path);
  Bench bench = make_bench(given, read_site(file.name, file.bytes), name, tables);
  must_not_mix(given);
  Desk desk(errors);
  const bool asked = !has_reading(given) && desk.is_person();
  if (!has_reading(given) && (!asked || !ask_readings(desk, given, bench, words)))
    throw UserError(
        usage("no reading was given",
              R"(write --ice "0.4 C" --boil "99.1 C", or --log check.csv; coldbag probe alone says how)"));
  find_pressure(given, bench);
  const Points found = points_found(given, bench, words);
  const Points left = typed_points(given, bench, "ice-left", "boil-left");
  const std::vector<ProbeCheck> checks = checks_of(given, bench, found, left);
  const std::string bytes = with_checks(file.name, file.bytes, bench.probe, checks);
  print(made_check_text(summary_of(bench, checks), words));
  if (given.has("show") || (asked && !is_confirmed(desk, path, words))) {
    print("\n" + words.text("probe_not_written") + "\n" + bytes.substr(file.bytes.size()));
    return 0;
  }
  replace_file(path, file.bytes, bytes);
  print("\n" + wrapped(words.text("probe_added", {{"file", path}}), 2));
  return 0;
}

} // namespace

int probe_command(const std::vector<std::string>& arguments) {
  const po::options_description described = options_of_probe();
  const Given given = parse_options("probe", described, {{"site", 1}, {"probe", 1}}, arguments);
  if (given.has("help")) {
    print(help_text(
        "coldbag probe SITE.toml [PROBE] [options]\n\nMakes a check of a probe and adds it to the "
        "site file; nothing in the file is\nchanged. Without a file it says how to check a probe.\n",
        described));
    return 0;
  }
  if (given.count() == (given.has("language") ? 1 : 0)) {
    print(how_to_check_text(program_words(TableFiles::open(""), given)));
    return 0;
  }
  if (!given.has("site"))
    throw UserError(usage("probe needs the site file", "write for example coldbag probe farm.toml core"));
  return make_check(given, given.text("site"), given.text("probe"), words_of_errors(arguments));
}

} // namespace coldbag
