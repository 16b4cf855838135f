#include "cli/setup.h"

#include "cli/options.h"
#include "cli/write_file.h"
#include "clock/zone.h"
#include "farm/setup_text.h"
#include "farm/site.h"
#include "logs/rows.h"

#include <boost/program_options.hpp>

#include <unistd.h>

#include <array>
#include <cstdio>
#include <iostream>

namespace coldbag {

namespace {

namespace po = boost::program_options;

struct Question {
  const char* option;
  const char* asks;
  std::optional<std::string> SetupAnswers::*answer;
};

// The few questions, in the order a person would be asked them.
const std::array<Question, 10> questions{{
    {"name", "What do you call the farm?", &SetupAnswers::site_name},
    {"altitude", "How high does it lie? (1150 m)", &SetupAnswers::altitude},
    {"zone", "In which time zone? (America/Bogota)", &SetupAnswers::zone},
    {"volume", "Volume of the vessel? (208 L)", &SetupAnswers::volume},
    {"rating", "Rating on its nameplate, if it holds pressure? (15 psi gauge)", &SetupAnswers::rating},
    {"steam", "Steam supply? (6 kW)", &SetupAnswers::steam_power},
    {"substrate", "What is in the bags? (supplemented_sawdust)", &SetupAnswers::substrate},
    {"mass", "Mass of a filled bag? (5 lb)", &SetupAnswers::mass},
    {"moisture", "Moisture, wet basis? (62 %)", &SetupAnswers::moisture},
    {"film", "Film of the bag? (pp-homopolymer)", &SetupAnswers::film},
}};

po::options_description options_of_setup() {
  po::options_description all("Options (what is not answered is written as \"?\")");
  auto add = all.add_options();
  add("help,h", "this help");
  add("vented", "the vessel is open to the air");
  add("rated", "the vessel is pressure-rated");
  add("us", "show F, lb and ft instead of C, kg and m");
  add("log", po::value<std::string>(), "a log, to take the probe columns from");
  for (const Question& question : questions)
    add(question.option, po::value<std::string>(), question.asks);
  return all;
}

void ask_questions(SetupAnswers& answers) {
  std::puts("Press Enter where you do not know.");
  if (!answers.kind) {
    std::printf("Is the vessel open to the air (vented) or pressure-rated (rated)? ");
    std::fflush(stdout);
    std::string line;
    std::getline(std::cin, line);
    if (line == "vented") answers.kind = VesselKind::vented;
    if (line == "rated") answers.kind = VesselKind::pressure_rated;
  }
  for (const Question& question : questions) {
    if (answers.*question.answer) continue;
    std::printf("%s ", question.asks);
    std::fflush(stdout);
    std::string line;
    if (!std::getline(std::cin, line)) break;
    if (!line.empty()) answers.*question.answer = line;
  }
}

// Written down where the column's own name says it; else asked with "?".
std::optional<ProbeRole> place_of(const std::string& column) {
  const ProbeRole role = role_by_name(column);
  return role == ProbeRole::unstated ? std::nullopt : std::optional(role);
}

void take_probes(SetupAnswers& answers, const std::string& path) {
  const ProbeLog log = ProbeLog::open(Source::file(path), {});
  for (const int index : log.value_columns()) {
    const LogColumn& column = log.understanding().columns[static_cast<std::size_t>(index)];
    if (column.kind.value == ColumnKind::temperature)
      answers.probes.push_back({column.name, place_of(column.name), {}, {}, {}});
  }
}

} // namespace

int setup_command(const std::vector<std::string>& arguments) {
  const po::options_description described = options_of_setup();
  const po::variables_map given = parse_options("setup", described, {"file", 1}, arguments);
  if (given.count("help")) {
    print(help_text(
        "coldbag setup farm.toml [--log LOG.csv]\n\nWrites a new site file; never overwrites one.\n",
        described));
    return 0;
  }
  if (!given.count("file"))
    throw UserError(
        usage("setup needs the name of the new site file", "write for example coldbag setup farm.toml"));
  SetupAnswers answers;
  for (const Question& question : questions)
    if (given.count(question.option)) answers.*question.answer = given[question.option].as<std::string>();
  if (given.count("vented")) answers.kind = VesselKind::vented;
  if (given.count("rated")) answers.kind = VesselKind::pressure_rated;
  if (given.count("us")) answers.units = UnitSystem::us;
  if (given.count("log")) take_probes(answers, given["log"].as<std::string>());
  if (isatty(STDIN_FILENO) != 0) ask_questions(answers);
  const std::string path = given["file"].as<std::vector<std::string>>().front();
  const std::string text = site_text(answers);
  (void)read_site(path, text); // what was typed is checked before anything is written
  write_new_file(path, text);
  std::printf("Wrote %s. Mend each \"?\" in it, then: coldbag check LOG.csv --site %s\n", path.c_str(),
              path.c_str());
  return 0;
}

} // namespace coldbag
