#include "cli/check.h"

#include "cli/check_options.h"
#include "cli/files.h"
#include "cli/options.h"
#include "cli/progress.h"
#include "report/many_text.h"
#include "report/run_text.h"
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
  const po::options_description described = check_options();
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
  const RunOptions options = read_check_options(given, tables);
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
