#include "cli/setup.h"

#include "cli/error_language.h"
#include "cli/language.h"
#include "cli/log_options.h"
#include "cli/setup_log.h"
#include "cli/write_file.h"
#include "farm/setup_text.h"
#include "farm/site.h"
#include "report/layout.h"
#include "run/caution_tables.h"

#include <boost/program_options.hpp>

#include <array>
#include <filesystem>

namespace coldbag {

namespace {

namespace po = boost::program_options;

struct Question {
  const char* option;
  const char* key; ///< of the words it is asked with
  const char* says;
  std::optional<std::string> SetupAnswers::*answer;
};

// The few questions, in the order a person would be asked them.
const std::array<Question, 10> questions{{
    {"name", "setup_ask_name", "what you call the farm", &SetupAnswers::site_name},
    {"altitude", "setup_ask_altitude", R"(above the sea: "1150 m" or "3773 ft")", &SetupAnswers::altitude},
    {"zone", "setup_ask_zone", "time zone: America/Bogota", &SetupAnswers::zone},
    {"rating", "setup_ask_rating", "of its nameplate: \"15 psi gauge\"", &SetupAnswers::rating},
    {"volume", "setup_ask_volume", "of the vessel: \"208 L\"", &SetupAnswers::volume},
    {"steam", "setup_ask_steam", "heat into the water: \"6 kW\"", &SetupAnswers::steam_power},
    {"substrate", "setup_ask_substrate", "what is in the bags, in words", &SetupAnswers::substrate},
    {"mass", "setup_ask_mass", "of a filled bag: \"5 lb\"", &SetupAnswers::mass},
    {"moisture", "setup_ask_moisture", "wet basis: \"62 %\"", &SetupAnswers::moisture},
    {"film", "setup_ask_film", "of the bag: pp-homopolymer", &SetupAnswers::film},
}};

po::options_description options_of_setup() {
  po::options_description farm("The farm (what is not answered is written as \"?\")");
  auto add = farm.add_options();
  add("vented", "the vessel is open to the air");
  add("rated", "the vessel is pressure-rated; so does --rating");
  for (const Question& question : questions)
    add(question.option, po::value<std::string>(), question.says);
  add("us", "reports in F, lb and ft");
  add("log", po::value<std::string>(), "a log, to take the probe columns from");
  add("tables", po::value<std::string>(), "folder with data tables of your own");
  add_language_option(farm);
  add("help,h", "this help");
  po::options_description all;
  all.add(farm).add(log_setting_options());
  return all;
}

/// What the site file would be told of this answer, at once.
std::optional<Objection> objection_to(const SetupAnswers& answers, const std::vector<Film>& films) {
  try {
    (void)read_site("setup", site_text(answers));
  } catch (const UserError& error) {
    return Objection{error.complaints().front().problem, error.complaints().front().remedy};
  }
  if (!answers.film || *answers.film == "?" || find_film(films, *answers.film) != nullptr) return {};
  std::string known;
  for (const Film& film : films)
    known += (known.empty() ? "" : ", ") + film.key;
  return Objection{"there is no film \"" + *answers.film + "\" in films.csv", "known: " + known};
}

/// Keeps an answer, or says why it is none.
std::optional<Objection> take(SetupAnswers& answers, const Question& question, const std::string& text,
                              const std::vector<Film>& films) {
  SetupAnswers trial = answers;
  trial.*question.answer = text;
  if (auto objection = objection_to(trial, films)) return objection;
  answers = std::move(trial);
  return {};
}

std::optional<Objection> take_kind(SetupAnswers& answers, const std::string& text) {
  if (text == "vented") {
    answers.kind = VesselKind::vented;
    return {};
  }
  if (text == "rated") {
    answers.kind = VesselKind::pressure_rated;
    return {};
  }
  return Objection{"\"" + text + "\" is neither vented nor rated", "type vented or rated, or press Enter"};
}

SetupAnswers answers_given(const Given& given, const std::vector<Film>& films) {
  SetupAnswers answers;
  for (const Question& question : questions)
    if (given.has(question.option))
      if (const auto objection = take(answers, question, given.text(question.option), films))
        refuse_option(question.option, objection->problem, objection->remedy);
  if (given.has("vented") && (given.has("rated") || given.has("rating")))
    throw UserError(usage("--vented contradicts --rated and --rating", "say which of the two the vessel is"));
  if (given.has("vented")) answers.kind = VesselKind::vented;
  if (given.has("rated") || given.has("rating")) answers.kind = VesselKind::pressure_rated;
  if (given.has("us")) answers.units = UnitSystem::us;
  if (given.has("language")) answers.language = given.text("language");
  return answers;
}

void ask_questions(Desk& desk, const Words& words, SetupAnswers& answers, const std::vector<Film>& films) {
  desk.tell(words.text("setup_begin") + "\n");
  if (!answers.kind)
    ask_until_taken(desk, words.text("setup_ask_kind"),
                    [&](const std::string& text) { return take_kind(answers, text); });
  for (const Question& question : questions) {
    const bool is_rating = std::string(question.option) == "rating";
    if (answers.*question.answer || (is_rating && answers.kind != VesselKind::pressure_rated)) continue;
    ask_until_taken(desk, words.text(question.key),
                    [&](const std::string& text) { return take(answers, question, text, films); });
  }
}

/// A log named by a person is asked for again where it cannot be read.
void ask_log(Desk& desk, const Words& words, const Given& given, SetupAnswers& answers) {
  ask_until_taken(desk, words.text("setup_ask_log"),
                  [&](const std::string& path) -> std::optional<Objection> {
                    SetupAnswers trial = answers;
                    try {
                      take_log(desk, words, given, path, trial);
                    } catch (const UserError& error) {
                      return Objection{error.complaints().front().problem, error.complaints().front().remedy};
                    }
                    answers = std::move(trial);
                    return {};
                  });
}

[[noreturn]] void refuse_to_overwrite(const std::string& path) {
  Complaint complaint;
  complaint.trouble = Trouble::cannot_write;
  complaint.place.source_name = path;
  complaint.problem = "the file is there already and is never overwritten";
  complaint.remedy = "choose another name, or mend this one with an editor";
  throw UserError(std::move(complaint));
}

int write_site_file(const Given& given, const std::string& path, const ErrorWords& errors) {
  std::error_code none;
  if (std::filesystem::exists(path, none)) refuse_to_overwrite(path);
  const TableFiles tables = TableFiles::open(given.text("tables"));
  const Words words = program_words(tables, given);
  const std::vector<Film> films = read_caution_tables(tables).films;
  LogOptions checked;
  read_log_options(given, checked);
  SetupAnswers answers = answers_given(given, films);
  Desk desk(errors);
  if (desk.is_person()) ask_questions(desk, words, answers, films);
  if (given.has("log"))
    take_log(desk, words, given, given.text("log"), answers);
  else if (desk.is_person())
    ask_log(desk, words, given, answers);
  if (answers.probes.empty() && answers.log.empty()) take_log_settings(given, answers);
  const std::string text = site_text(answers, [&](const std::string& key) { return words.text(key); });
  (void)read_site(path, text);
  write_new_file(path, text);
  print(wrapped(words.text("setup_done", {{"file", path}}), 2) +
        command_lines({"coldbag check LOG.csv", "--site " + path}));
  return 0;
}

} // namespace

int setup_command(const std::vector<std::string>& arguments) {
  const po::options_description described = options_of_setup();
  const Given given = parse_options("setup", described, {{"file", 1}}, arguments);
  if (given.has("help")) {
    print(help_text(
        "coldbag setup farm.toml [--log LOG.csv]\n\nWrites a new site file; never overwrites one.\n",
        described));
    return 0;
  }
  if (!given.has("file"))
    throw UserError(
        usage("setup needs the name of the new site file", "write for example coldbag setup farm.toml"));
  return write_site_file(given, given.text("file"), words_of_errors(arguments));
}

} // namespace coldbag
