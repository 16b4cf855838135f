#include "cli/check.h"

#include "cli/asked.h"
#include "cli/check_options.h"
#include "cli/drawn_files.h"
#include "cli/error_language.h"
#include "cli/language.h"
#include "cli/options.h"
#include "cli/progress.h"
#include "report/keep_run_blocks.h"
#include "report/many_text.h"
#include "report/run_text.h"
#include "report/screen.h"
#include "report/understanding_text.h"
#include "run/judge.h"
#include "run/run_report_json.h"

#include <boost/program_options.hpp>

#include <fmt/format.h>

#include <tbb/parallel_for.h>

#include <cstdio>
#include <cstdlib>
#include <unistd.h>

namespace coldbag {

namespace {

namespace po = boost::program_options;

bool wants_colour(const Given& given) {
  const char* no_color = std::getenv("NO_COLOR");
  return isatty(STDOUT_FILENO) != 0 && !given.has("no-color") && (no_color == nullptr || *no_color == '\0');
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

/// A run's report as the options ask for it.
std::string report_text(const RunReport& report, const std::string& log_settings, const Given& given,
                        const Words& words, const std::string& path) {
  std::string text;
  if (given.has("explain")) {
    if (!log_settings.empty()) text += log_settings + "\n";
    for (const LogResult& log : report.logs)
      text += understanding_text(log.name, log.understanding, words) + "\n";
  }
  return text + run_text(report, words, {given.has("full"), wants_colour(given), path});
}

/// How to keep what was judged: the same files and options.
std::string keep_text(const std::vector<std::string>& paths, const Given& given, const Words& words) {
  return screen_text(keep_run_blocks(paths, judging_given(given, words), words));
}

std::vector<Outcome> judge_many(const std::vector<std::string>& paths, const Given& given,
                                const RunOptions& options, const TableFiles& tables, const Words& words,
                                const ErrorWords& errors) {
  std::vector<Outcome> outcomes(paths.size());
  Progress progress(words, paths.size());
  tbb::parallel_for(std::size_t{0}, paths.size(), [&](std::size_t i) {
    outcomes[i].name = paths[i];
    try {
      Asked asked = asked_for(paths[i], given, options, words);
      outcomes[i].report = judge_run(open_run(std::move(asked.request), tables));
      if (given.has("full") || given.has("explain"))
        outcomes[i].text = report_text(*outcomes[i].report, asked.log_settings, given, words, paths[i]);
    } catch (const UserError& error) {
      outcomes[i].error = retold(error, errors);
    }
    progress.add_one();
  });
  return outcomes;
}

int check_many(const std::vector<std::string>& paths, const Given& given, const RunOptions& options,
               const TableFiles& tables, const Words& words, const ErrorWords& errors) {
  const std::vector<Outcome> outcomes = judge_many(paths, given, options, tables, words, errors);
  std::string text;
  if (given.has("json")) {
    text = "{\"runs\": [";
    for (const Outcome& one : outcomes)
      if (one.report) text += (text.back() == '[' ? "\n" : ",\n") + report_json(*one.report);
    text += "]}\n";
    for (const Outcome& one : outcomes)
      if (one.error) std::fprintf(stderr, "coldbag: %s\n", one.error->what());
  } else {
    for (const Outcome& one : outcomes)
      if (!one.text.empty()) text += one.text + "\n";
    text += many_text(outcomes, words) + keep_text(paths, given, words);
  }
  print(text);
  return status_of(outcomes);
}

} // namespace

int check_command(const std::vector<std::string>& arguments) {
  const Words words_of_help = help_words(arguments);
  const po::options_description described = check_options(words_of_help);
  const Given given = parse_options("check", described, {{"file", -1}}, arguments);
  if (given.has("help")) {
    print(help_text({{"coldbag check RUN.toml | LOG.csv ..."},
                     words_of_help.text("help_says_check"),
                     R"(  coldbag check tonight/run.toml
  coldbag check log.csv --treatment atmospheric_steam --in-bag "Core 1" \
    --altitude "1150 m" --vented
)"},
                    described));
    return 0;
  }
  if (!given.has("file"))
    throw UserError(usage("check needs a run file or a log", "write for example coldbag check log.csv"));
  const TableFiles tables = TableFiles::open(given.text("tables"));
  const auto paths = given.texts("file");
  check_drawing_options(given);
  if (paths.size() > 1) refuse_drawing_many(given);
  const Words words = program_words(tables, given, paths.front());
  const RunOptions options = read_check_options(given, tables);
  if (paths.size() > 1) return check_many(paths, given, options, tables, words, words_of_errors(arguments));
  Asked asked;
  const RunReport report = [&] {
    const Progress progress(words, 1); // reading the log from a pipe is a part of it
    asked = asked_for(paths.front(), given, options, words);
    return judge_run(open_run(std::move(asked.request), tables));
  }();
  write_drawn_files(given, report, words, tables);
  if (given.has("json")) {
    print(report_json(report));
  } else {
    std::string text = report_text(report, asked.log_settings, given, words, paths.front());
    if (report.verdict && !given.has("running")) text += keep_text(paths, given, words);
    print(text);
  }
  return exit_status(report);
}

} // namespace coldbag
