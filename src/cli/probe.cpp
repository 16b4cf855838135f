#include "cli/probe.h"

#include "cli/files.h"
#include "cli/write_file.h"
#include "farm/check_text.h"
#include "farm/fit.h"
#include "farm/nearest.h"
#include "farm/site.h"
#include "logs/rows.h"
#include "probes/check_made.h"
#include "probes/rest.h"
#include "probes/uncertainty.h"
#include "quantity/parse.h"
#include "quantity/typed.h"
#include "steam/atmosphere.h"

#include <boost/program_options.hpp>

#include <fmt/format.h>

#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdio>
#include <ctime>
#include <iostream>
#include <map>
#include <sstream>

namespace coldbag {

namespace {

namespace po = boost::program_options;

const char* const how_to_check =
    "How to check a probe\n"
    "\n"
    "Steam and boiling water burn at once, and the hottest steam cannot be seen.\n"
    "Long gloves, sleeves, eye cover; never alone, no children near; lift lids away\n"
    "from you; a pot that stands firm. Never open or reach into a vessel under\n"
    "pressure to check a probe. Local rules come before this page.\n"
    "\n"
    "1. Use probe, wire and recorder as in a run, not adjusted yet.\n"
    "2. Ice. Crush ice of clean water, add cold clean water until the slush just\n"
    "   moves, and stir. Put the probe in the middle, as deep as it sits in a bag.\n"
    "   When the reading stands still, write it down.\n"
    "3. Boil. Let clean water boil vigorously in a deep pot, lid ajar. Hang the probe\n"
    "   in the steam just above vigorously boiling water: not in it (5 cm down it is\n"
    "   0.1 K hotter), not on the pot. When the reading stands still, write it down.\n"
    "4. Water boils by the pressure where you stand: read a barometer now. Else the\n"
    "   altitude of the site is used, and the check is half a kelvin less sure.\n"
    "5. If you adjust the recorder, read both again: --ice-left and --boil-left.\n"
    "   Used thermocouple wire is not adjusted: its readings are corrected.\n"
    "\n"
    "  coldbag probe farm.toml core --ice \"0.4 C\" --boil \"99.1 C\" --by A\n"
    "  coldbag probe farm.toml core --log check.csv --by A\n";

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
  return all;
}

[[noreturn]] void refuse_option(const std::string& option, const std::string& problem,
                                const std::string& remedy) {
  throw UserError(usage("--" + option + ": " + problem, remedy));
}

/// Options as texts; a question that was answered counts as one.
class Given {
 public:
  explicit Given(po::variables_map map) : map_(std::move(map)) {}
  [[nodiscard]] bool has(const std::string& name) const {
    return answers_.contains(name) || map_.contains(name);
  }
  [[nodiscard]] std::string text(const std::string& name) const {
    const auto answer = answers_.find(name);
    if (answer != answers_.end()) return answer->second;
    return map_.contains(name) ? map_[name].as<std::string>() : "";
  }
  [[nodiscard]] std::vector<std::string> texts(const std::string& name) const {
    return map_.contains(name) ? map_[name].as<std::vector<std::string>>() : std::vector<std::string>{};
  }
  void answer(const std::string& name, std::string text) { answers_[name] = std::move(text); }
  void forget(const std::string& name) { answers_.erase(name); }
  [[nodiscard]] double quantity(const std::string& name, Dimension dimension) const {
    const Parsed parsed = parse_quantity(text(name), dimension);
    if (!parsed.value) refuse_option(name, parsed.problem, parsed.remedy);
    return *parsed.value;
  }

 private:
  po::variables_map map_;
  std::map<std::string, std::string> answers_;
};

/// What the check is made against, and the probe it is made of.
struct Bench {
  Site site;
  const Probe* probe = nullptr;
  CheckRules rules;
  std::vector<ProbeClass> classes;
  std::optional<double> site_pressure_Pa;
  double pressure_half_Pa = 0;
  std::string pressure_from; ///< "by a barometer", "by the altitude 500 m"
  bool bare_in_degF = false;
  std::optional<double> resolution_K; ///< stated
};

void find_pressure(const Given& given, Bench& bench) {
  std::optional<double> altitude_m = bench.site.altitude_m.value;
  if (given.has("altitude")) altitude_m = given.quantity("altitude", Dimension::length);
  if (altitude_m && (*altitude_m < -500 || *altitude_m > 9000))
    refuse_option("altitude", "outside -500 to 9,000 m", "write for example --altitude \"1150 m\"");
  if (given.has("pressure-at-site") && given.has("pressure-at-sea-level"))
    throw UserError(usage("--pressure-at-site and --pressure-at-sea-level contradict each other",
                          "give the one that the barometer shows"));
  bench.pressure_half_Pa = bench.rules.barometer_half_Pa;
  bench.pressure_from = "by a barometer";
  if (given.has("pressure-at-site")) {
    bench.site_pressure_Pa = given.quantity("pressure-at-site", Dimension::pressure);
  } else if (given.has("pressure-at-sea-level")) {
    if (!altitude_m)
      refuse_option("pressure-at-sea-level", "says nothing here without the altitude",
                    "give --altitude \"1150 m\", or --pressure-at-site");
    const double sea_level_Pa = given.quantity("pressure-at-sea-level", Dimension::pressure);
    if (sea_level_Pa < lowest_at_sea_level_Pa || sea_level_Pa > highest_at_sea_level_Pa)
      refuse_option("pressure-at-sea-level", fmt::format("not {}", sea_level_pressure_words),
                    "write for example \"101.9 kPa\"");
    bench.site_pressure_Pa = site_pressure_from_sea_level_Pa(sea_level_Pa, *altitude_m);
  } else if (altitude_m) {
    bench.site_pressure_Pa = standard_pressure_Pa(*altitude_m);
    bench.pressure_half_Pa = bench.rules.weather_half_Pa;
    bench.pressure_from = "by the altitude " + print_altitude(*altitude_m, bench.site.units);
  }
  if (!bench.site_pressure_Pa) return;
  if (!is_site_pressure(*bench.site_pressure_Pa))
    refuse_option("pressure-at-site", fmt::format("not {}", site_pressure_words),
                  "write the barometer's absolute reading, for example \"88.2 kPa\"");
  if (!altitude_m) return;
  if (const auto misfit = pressure_misfit(*bench.site_pressure_Pa, Place{}, *altitude_m))
    throw UserError(
        usage("--pressure-at-site: " + misfit->problem,
              "mend the altitude, or give --pressure-at-sea-level where the barometer is set to it"));
}

double boil_here_degC(const Bench& bench) {
  if (!bench.site_pressure_Pa)
    throw UserError(usage("where water boils is not known: the site file has no altitude",
                          R"(give --pressure-at-site "88.2 kPa" or --altitude "1150 m")"));
  return boil_degC(*bench.site_pressure_Pa);
}

PointRead at_ice(const Bench& bench, double reads_degC, double resolution_K, double spread_K) {
  return {{reads_degC, 0}, ice_reference_u_K(bench.rules), resolution_K, spread_K};
}

PointRead at_boil(const Bench& bench, double reads_degC, double resolution_K, double spread_K) {
  const double is_degC = boil_here_degC(bench);
  return {{reads_degC, is_degC},
          boil_reference_u_K(*bench.site_pressure_Pa, bench.pressure_half_Pa, bench.rules),
          resolution_K,
          spread_K};
}

struct Points {
  std::optional<PointRead> low;
  std::optional<PointRead> high;
};

/// A point so far off is a slip, or a probe that nothing corrects.
void must_be_near(const std::string& option, const CheckPoint& point, const CheckRules& rules) {
  if (std::abs(point.reads_degC - point.is_degC) <= rules.farthest_off_K) return;
  refuse_option(option,
                fmt::format("{} is more than {:g} K from {}, where the probe should have read",
                            print_temperature(point.reads_degC, UnitSystem::metric, 2), rules.farthest_off_K,
                            print_temperature(point.is_degC, UnitSystem::metric, 2)),
                "look at ice, boil and pressure again; a probe so far off is broken");
}

TypedTemperature typed_option(const std::string& option, const std::string& text, bool bare_in_degF) {
  const auto typed = typed_temperature(text, bare_in_degF);
  if (!typed)
    refuse_option(option, "\"" + text + "\" is no temperature", R"(write for example "99.1 C" or "210.4 F")");
  return *typed;
}

Points typed_points(const Given& given, const Bench& bench, const std::string& ice, const std::string& boil) {
  Points points;
  if (given.has(ice)) {
    const TypedTemperature typed = typed_option(ice, given.text(ice), bench.bare_in_degF);
    points.low = at_ice(bench, typed.degC, bench.resolution_K.value_or(typed.step_K), 0);
    must_be_near(ice, points.low->point, bench.rules);
  }
  if (given.has(boil)) {
    const TypedTemperature typed = typed_option(boil, given.text(boil), bench.bare_in_degF);
    points.high = at_boil(bench, typed.degC, bench.resolution_K.value_or(typed.step_K), 0);
    must_be_near(boil, points.high->point, bench.rules);
  }
  return points;
}

PointRead reference_point(const Bench& bench, const std::string& text, double u_K) {
  std::size_t mark = text.find(';');
  if (mark == std::string::npos) mark = text.find(", ");
  if (mark == std::string::npos) mark = text.find(',');
  if (mark == std::string::npos)
    refuse_option("point", "\"" + text + "\" is not two temperatures",
                  "write the true one, then what the probe read: \"60.0 C, 60.4 C\"");
  const TypedTemperature is = typed_option("point", text.substr(0, mark), bench.bare_in_degF);
  const TypedTemperature reads = typed_option("point", text.substr(mark + 1), bench.bare_in_degF);
  PointRead read{{reads.degC, is.degC}, u_K, bench.resolution_K.value_or(reads.step_K), 0};
  must_be_near("point", read.point, bench.rules);
  return read;
}

Points reference_points(const Given& given, const Bench& bench) {
  const auto texts = given.texts("point");
  if (texts.size() > 2)
    refuse_option("point", "was given more than twice", "give the coldest and the hottest point");
  if (!given.has("reference-u"))
    refuse_option("point", "how well the known thermometer is known was not said",
                  "add --reference-u \"0.1 K\", from its certificate (U there is mostly twice u)");
  const double u_K = given.quantity("reference-u", Dimension::temperature_difference);
  if (u_K < 0)
    refuse_option("reference-u", "an uncertainty is not below zero", "write for example \"0.1 K\"");
  std::vector<PointRead> reads;
  reads.reserve(texts.size());
  for (const std::string& text : texts)
    reads.push_back(reference_point(bench, text, u_K));
  if (reads.size() == 1) return {std::nullopt, reads.front()};
  if (reads[0].point.is_degC > reads[1].point.is_degC) std::swap(reads[0], reads[1]);
  if (reads[1].point.is_degC - reads[0].point.is_degC < 20)
    refuse_option("point", "the two points are less than 20 K apart",
                  "give one of them, or points further apart");
  return {reads[0], reads[1]};
}

struct Trace {
  std::vector<double> time_s;
  std::vector<double> degC;
};

Trace read_trace(const Given& given, const Bench& bench) {
  LogOptions options;
  if (given.has("unit")) options.temperature_unit = bench.bare_in_degF ? ColumnUnit::degF : ColumnUnit::degC;
  if (bench.site.zone.known()) options.zone = Zone::find(*bench.site.zone.value);
  const ProbeLog log = ProbeLog::open(Source::file(given.text("log")), options);
  const std::string wanted =
      given.has("column") ? given.text("column") : bench.probe->column.value.value_or(bench.probe->name);
  std::vector<std::string> names;
  std::optional<std::size_t> at;
  for (std::size_t v = 0; v < log.value_columns().size(); ++v) {
    const LogColumn& column = log.understanding().columns[static_cast<std::size_t>(log.value_columns()[v])];
    if (column.kind.value != ColumnKind::temperature) continue;
    names.push_back(column.name);
    if (column.name == wanted) at = v;
  }
  if (!at)
    throw UserError({Trouble::bad_data,
                     {log.source().name(), 0, 0, ""},
                     "there is no column \"" + wanted + "\"",
                     "name the probe's with --column; there: " + list_words(names, true)});
  Trace trace;
  log.for_each_block([&](const RowBlock& block) {
    for (std::size_t row = 0; row < block.time_s.size(); ++row)
      if (block.has[*at][row] != 0) {
        trace.time_s.push_back(block.time_s[row]);
        trace.degC.push_back(block.value[*at][row]);
      }
  });
  return trace;
}

Points log_points(const Given& given, const Bench& bench) {
  const Trace trace = read_trace(given, bench);
  const double step_K = bench.resolution_K.value_or(bench.rules.log_resolution_K);
  Points points;
  const auto say = [](const char* where, const Rest& rest) {
    std::printf("At rest %s: %d readings over %s, from %s after the first row\n", where, rest.readings,
                print_duration(rest.to_s - rest.from_s).c_str(), print_duration(rest.from_s).c_str());
  };
  if (const auto rest = find_rest(trace.time_s, trace.degC, 0, bench.rules)) {
    say("in ice", *rest);
    points.low = at_ice(bench, rest->mean_degC, step_K, rest->spread_K);
  }
  if (const auto rest = find_rest(trace.time_s, trace.degC, boil_here_degC(bench), bench.rules)) {
    say("at the boil", *rest);
    points.high = at_boil(bench, rest->mean_degC, step_K, rest->spread_K);
  }
  if (!points.low && !points.high)
    throw UserError(
        {Trouble::bad_data,
         {given.text("log"), 0, 0, ""},
         fmt::format("the probe was never at rest near 0 C or near {:.2f} C: no {:g} s within {:g} K",
                     boil_here_degC(bench), bench.rules.rest_for_s, bench.rules.rest_span_K),
         "leave it longer in ice and at the boil, or give --ice and --boil as you read them"});
  return points;
}

std::string way_of(const Given& given, const Points& points) {
  if (!given.texts("point").empty()) return "reference";
  if (points.low && points.high) return "ice and boil";
  return points.low ? "ice" : "boil";
}

WallTime now_on_the_wall(const Site& site) {
  const auto now = std::chrono::floor<std::chrono::microseconds>(std::chrono::system_clock::now());
  constexpr std::int64_t minute_us = 60'000'000;
  if (site.zone.known())
    if (const auto zone = Zone::find(*site.zone.value)) {
      const WallTime wall = wall_time_of(*zone, now);
      return {wall.us - wall.us % minute_us};
    }
  const std::time_t seconds = std::chrono::system_clock::to_time_t(now);
  std::tm parts{};
  localtime_r(&seconds, &parts);
  return wall_time({parts.tm_year + 1900, parts.tm_mon + 1, parts.tm_mday, parts.tm_hour, parts.tm_min, 0})
      .value_or(WallTime{});
}

IsoTime time_option(const Given& given, const std::string& option) {
  const auto time = parse_iso_time(given.text(option));
  if (!time)
    refuse_option(option, "\"" + given.text(option) + "\" is no date",
                  "write for example 2026-03-01, or 2026-03-01T10:30");
  return *time;
}

void sign(const Given& given, const Bench& bench, ProbeCheck& check) {
  constexpr std::int64_t day_us = 86'400'000'000;
  check.on = now_on_the_wall(bench.site);
  check.has_clock = true;
  if (given.has("on")) {
    const IsoTime on = time_option(given, "on");
    check.on = on.wall;
    check.has_clock = on.has_clock;
  }
  const auto days = static_cast<std::int64_t>(bench.rules.next_due_after_days);
  check.next_due = WallTime{check.on->us - (check.on->us % day_us + day_us) % day_us + days * day_us};
  if (given.has("next-due")) {
    const IsoTime due = time_option(given, "next-due");
    if (due.wall <= *check.on)
      refuse_option("next-due", "is not after the check", "write a later day, for example 2027-03-01");
    check.next_due = due.wall;
  }
  check.by = given.text("by");
}

std::vector<ProbeCheck> checks_of(const Given& given, const Bench& bench, const Points& found,
                                  const Points& left) {
  ProbeCheck check = made_check(found.low, found.high);
  check.how = way_of(given, found);
  if (found.high && check.how != "reference") check.site_pressure_Pa = bench.site_pressure_Pa;
  sign(given, bench, check);
  check = as_written(check);
  if (!left.low && !left.high) return {check};
  if (left.low.has_value() != found.low.has_value() || left.high.has_value() != found.high.has_value())
    throw UserError(usage("as found and as left were not read at the same points",
                          "give --ice-left where --ice is given, and --boil-left where --boil is"));
  ProbeCheck after = made_check(left.low, left.high);
  after.how = check.how;
  after.site_pressure_Pa = check.site_pressure_Pa;
  sign(given, bench, after);
  after.on = check.on;
  after = as_written(after);
  check.state = CheckState::as_found;
  after.state = CheckState::as_left;
  return {check, after};
}

std::string signed_K(double K, UnitSystem units) {
  return (K >= 0 ? "+" : "") + print_temperature_difference(K, units, 2);
}

std::string point_line(const char* name, const CheckPoint& point, UnitSystem units) {
  return fmt::format("  {:<16}{:>12}{:>12}{:>12}\n", name, print_temperature(point.reads_degC, units, 2),
                     print_temperature(point.is_degC, units, 2),
                     signed_K(point.is_degC - point.reads_degC, units));
}

std::string check_lines(const ProbeCheck& check, UnitSystem units) {
  const bool is_reference = check.how == "reference";
  std::string text = check.state == CheckState::as_left ? "As left" : "As found";
  text += fmt::format("\n  {:<16}{:>12}{:>12}{:>12}\n", "", "reads", "is", "correction");
  if (check.low) text += point_line(is_reference ? "low point" : "ice", *check.low, units);
  if (check.high) text += point_line(is_reference ? "high point" : "boil", *check.high, units);
  if (check.low && check.high)
    text += fmt::format("  corrected = {} x reading {} {}, in C\n", print_fixed(check.correction.gain, 6),
                        check.correction.offset_K < 0 ? "-" : "+",
                        print_fixed(std::abs(check.correction.offset_K), 6));
  else
    text += fmt::format("  corrected = reading {} {}, in C: one point, taken for all temperatures\n",
                        check.correction.offset_K < 0 ? "-" : "+",
                        print_fixed(std::abs(check.correction.offset_K), 3));
  return text;
}

std::string moved_line(const Bench& bench, const ProbeCheck& found) {
  const ChecksAround earlier =
      checks_around(bench.probe->checks, found.on, found.high ? found.high->is_degC : 0);
  if (earlier.before == nullptr || !earlier.before->on) return "";
  const double at_degC = found.high ? found.high->is_degC : found.low->is_degC;
  const double moved_K =
      correction_at_K(found.correction, at_degC) - correction_at_K(earlier.before->correction, at_degC);
  return fmt::format(
      "Since the check of {} its correction at {} moved by {}; runs between the two count that as "
      "drift.\n",
      print_iso_wall(*earlier.before->on).substr(0, 10), print_temperature(at_degC, bench.site.units),
      signed_K(moved_K, bench.site.units));
}

std::string reach_line(const Bench& bench, const ProbeCheck& check) {
  const CheckPoint& upper = check.high ? *check.high : *check.low;
  const std::string key = bench.probe->probe_class.value.value_or("unstated");
  const ProbeClass* probe_class = find_probe_class(bench.classes, key);
  if (probe_class == nullptr) return "";
  return fmt::format(
      "Above {} this is extrapolated: {} for class {} is added there as a tolerance.\n",
      print_temperature(upper.is_degC + bench.rules.extrapolated_beyond_K, bench.site.units),
      print_temperature_difference(class_tolerance_K(*probe_class, upper.is_degC), bench.site.units, 2), key);
}

std::string summary(const Bench& bench, const std::vector<ProbeCheck>& checks) {
  const UnitSystem units = bench.site.units;
  const ProbeCheck& found = checks.front();
  std::string when = print_iso_wall(*found.on);
  when = found.has_clock ? when.substr(0, 10) + " " + when.substr(11, 5) : when.substr(0, 10);
  std::string text = fmt::format("Probe {}, checked {}{}\n", bench.probe->name, when,
                                 found.by.empty() ? "" : " by " + found.by);
  if (found.site_pressure_Pa)
    text += fmt::format("Water boils at {} here: {} {}\n", print_temperature(found.high->is_degC, units, 2),
                        print_fixed(*found.site_pressure_Pa / 1000, 2) + " kPa", bench.pressure_from);
  text += "\n";
  for (const ProbeCheck& check : checks)
    text += check_lines(check, units);
  if (checks.size() == 1) text += "As left: the same, nothing was adjusted\n";
  const ProbeCheck& left = checks.back();
  text += fmt::format("\nStandard uncertainty {} (of it the reference {})\n",
                      print_temperature_difference(*left.u_K, units, 2),
                      print_temperature_difference(*left.reference_u_K, units, 2));
  text += reach_line(bench, left) + moved_line(bench, found);
  return text + fmt::format("Next due {}\n", print_iso_wall(*left.next_due).substr(0, 10));
}

void ask(Given& given, const std::string& option, const std::string& question) {
  if (given.has(option)) return;
  std::printf("%s ", question.c_str());
  std::fflush(stdout);
  std::string line;
  if (std::getline(std::cin, line) && line.find_first_not_of(" \t\r") != std::string::npos)
    given.answer(option, line);
}

/// Asks what was not given, and again where an answer is none. True where the check is to be written.
bool ask_readings(Given& given, const Bench& bench) {
  std::printf("%s\nProbe %s of %s. Press Enter where there is none.\n", how_to_check,
              bench.probe->name.c_str(), bench.site.source_name.c_str());
  const auto ask_temperature = [&](const std::string& option, const std::string& question) {
    for (;;) {
      ask(given, option, question);
      if (!given.has(option) || typed_temperature(given.text(option), bench.bare_in_degF)) return;
      std::printf("  \"%s\" is no temperature; for example 99.1 or 99,1\n", given.text(option).c_str());
      if (!std::cin) return;
      given.forget(option);
    }
  };
  ask_temperature("ice", "Reading in ice?");
  ask_temperature("boil", "Reading in the steam over boiling water?");
  if (given.has("ice")) ask_temperature("ice-left", "Adjusted? Reading in ice afterwards?");
  if (given.has("boil")) ask_temperature("boil-left", "Adjusted? Reading at the boil afterwards?");
  if (given.has("boil") && !given.has("pressure-at-sea-level"))
    ask(given, "pressure-at-site", "Barometer at the site, as it stands (88.2 kPa)?");
  ask(given, "by", "Who made the check?");
  return given.has("ice") || given.has("boil");
}

bool is_confirmed(const std::string& path) {
  std::printf("\nAdd this to %s (yes)? ", path.c_str());
  std::fflush(stdout);
  std::string line;
  if (!std::getline(std::cin, line)) return false;
  return line.empty() || line.front() == 'y' || line.front() == 'Y';
}

const Probe* probe_named(const Site& site, const std::string& name) {
  if (name.empty() && site.probes.size() == 1) return &site.probes.front();
  if (const Probe* probe = find_probe(site, name)) return probe;
  std::vector<std::string> names;
  for (const Probe& probe : site.probes)
    names.push_back(probe.name);
  const std::string known =
      names.empty() ? "describe it there first, under [probes.NAME]" : "known: " + list_words(names, false);
  if (name.empty()) throw UserError(usage("which probe of " + site.source_name + " was not said", known));
  throw UserError(
      {Trouble::bad_data, {site.source_name, 0, 0, ""}, "there is no probe \"" + name + '"', known});
}

bool is_degF(const Given& given, const Site& site) {
  if (!given.has("unit")) return site.units == UnitSystem::us;
  const std::string unit = given.text("unit");
  if (unit != "C" && unit != "F")
    refuse_option("unit", "\"" + unit + "\" is none of its values", "choose C or F");
  return unit == "F";
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

int show_help(const po::options_description& visible) {
  std::ostringstream options;
  options << visible;
  std::printf(
      "coldbag probe SITE.toml [PROBE] [options]\n\nMakes a check of a probe and adds it to the site file; "
      "nothing in the file is changed.\nWithout a file it says how to check a probe.\n\n%s",
      options.str().c_str());
  return 0;
}

int make_check(Given given, const std::string& path, const std::string& name) {
  const TableFiles tables = TableFiles::open(given.text("tables"));
  const NamedText file = read_text_file(path);
  Bench bench;
  bench.site = read_site(file.name, file.bytes);
  bench.probe = probe_named(bench.site, name);
  bench.rules = read_check_rules(tables);
  bench.classes = read_probe_classes(tables);
  bench.bare_in_degF = is_degF(given, bench.site);
  bench.resolution_K = bench.probe->resolution_K.value;
  if (given.has("resolution")) {
    bench.resolution_K = given.quantity("resolution", Dimension::temperature_difference);
    if (*bench.resolution_K < 0) refuse_option("resolution", "is below zero", "write for example \"0.1 K\"");
  }
  must_not_mix(given);
  const bool said =
      given.has("ice") || given.has("boil") || given.has("log") || !given.texts("point").empty();
  const bool asked = !said && isatty(STDIN_FILENO) != 0;
  if (!said && (!asked || !ask_readings(given, bench)))
    throw UserError(
        usage("no reading was given",
              R"(write --ice "0.4 C" --boil "99.1 C", or --log check.csv; coldbag probe alone says how)"));
  find_pressure(given, bench);
  Points found;
  if (given.has("log"))
    found = log_points(given, bench);
  else if (!given.texts("point").empty())
    found = reference_points(given, bench);
  else
    found = typed_points(given, bench, "ice", "boil");
  const Points left = typed_points(given, bench, "ice-left", "boil-left");
  const std::vector<ProbeCheck> checks = checks_of(given, bench, found, left);
  const std::string bytes = with_checks(file.name, file.bytes, bench.probe->name, checks);
  std::printf("%s", summary(bench, checks).c_str());
  if (given.has("show") || (asked && !is_confirmed(path))) {
    std::printf("\nNothing was written. It would be:\n%s", bytes.substr(file.bytes.size()).c_str());
    return 0;
  }
  std::fflush(stdout);
  replace_file(path, file.bytes, bytes);
  std::printf("\nAdded behind the last line of %s; nothing else in it was changed.\n", path.c_str());
  return 0;
}

} // namespace

int probe_command(const std::vector<std::string>& arguments) {
  po::options_description visible = options_of_probe();
  po::options_description all;
  all.add(visible).add_options()("site", po::value<std::string>())("probe", po::value<std::string>());
  po::positional_options_description positional;
  positional.add("site", 1).add("probe", 1);
  po::variables_map given;
  try {
    namespace style = po::command_line_style;
    po::store(po::command_line_parser(arguments)
                  .options(all)
                  .positional(positional)
                  .style(style::unix_style & ~style::allow_guessing)
                  .run(),
              given);
  } catch (const po::error& error) {
    throw UserError(usage(error.what(), "see coldbag probe --help"));
  }
  if (given.count("help")) return show_help(visible);
  if (arguments.empty()) {
    std::printf("%s", how_to_check);
    return 0;
  }
  if (!given.count("site"))
    throw UserError(usage("probe needs the site file", "write for example coldbag probe farm.toml core"));
  const std::string name = given.count("probe") ? given["probe"].as<std::string>() : "";
  const std::string path = given["site"].as<std::string>();
  return make_check(Given(std::move(given)), path, name);
}

} // namespace coldbag
