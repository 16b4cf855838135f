#include "cli/probe.h"

#include "cli/error_language.h"
#include "cli/files.h"
#include "cli/language.h"
#include "cli/option_group.h"
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

po::options_description options_of_probe(const Words& words) {
  OptionGroup all(words, "options");
  all.flag("help,h").text("ice").text("boil").text("ice-left").text("boil-left");
  all.texts("point").text("reference-u").text("log", "probe-log").text("column").text("unit", "probe-unit");
  all.text("resolution").text("altitude", "probe-altitude").text("pressure-at-site");
  all.text("pressure-at-sea-level").text("by", "probe-by").text("on").text("next-due").flag("show");
  all.text("tables").text("language");
  return all.described();
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
  const Words words_of_help = help_words(arguments);
  const po::options_description described = options_of_probe(words_of_help);
  const Given given = parse_options("probe", described, {{"site", 1}, {"probe", 1}}, arguments);
  if (given.has("help")) {
    print(help_text({{"coldbag probe SITE.toml [PROBE] ..."}, words_of_help.text("help_says_probe"), ""},
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
