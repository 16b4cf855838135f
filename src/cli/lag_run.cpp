#include "cli/lag_run.h"

#include "cli/asked.h"
#include "cli/check_options.h"
#include "cli/files.h"
#include "cli/lag_options.h"
#include "cli/language.h"
#include "cli/progress.h"
#include "cli/write_file.h"
#include "heatup/learned_file.h"
#include "report/heating_text.h"
#include "report/learned_text.h"
#include "run/judge.h"
#include "run/run_report_json.h"
#include "run/shown.h"

#include <tbb/parallel_for.h>

#include <fmt/format.h>

#include <charconv>
#include <cstdio>
#include <filesystem>
#include <map>
#include <optional>

namespace coldbag {

namespace {

int bag_count_option(const std::string& text) {
  int count = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), count);
  if (error != std::errc{} || end != text.data() + text.size() || count < 1)
    refuse_option("bags", "\"" + text + "\" is no number of bags", "write for example --bags 40");
  return count;
}

/// What the options say of the bags counts where no run file describes a load.
Asked asked_for_heating(const std::string& path, const Given& given, const TableFiles& tables,
                        const Words& words) {
  RunOptions stated = read_check_options(given, tables);
  stated.by_tables_alone = given.has("learn"); // or what a run rests on would be counted twice
  Asked asked = asked_for(path, given, stated, words);
  RunOptions& options = asked.request.options;
  options.fits_bags = true;
  if (given.has("bags")) options.bag_count = bag_count_option(given.text("bags"));
  if (!has_bag_options(given)) return asked;
  std::optional<Site> site;
  if (asked.request.site) site = read_site(asked.request.site->name, asked.request.site->bytes);
  options.bag = read_bag(given, site);
  return asked;
}

/// Without a treatment nothing tells what the slowest bag would have needed.
RunReport heated_run(Asked asked, const TableFiles& tables) {
  RunInput input = open_run(std::move(asked.request), tables);
  const bool has_treatment = !input.treatment_is_assumed;
  RunReport report = judge_run(std::move(input));
  if (has_treatment) return report;
  report.slowest_unprobed.reset();
  for (BagHeating& kind : report.heating)
    kind.slowest.reset();
  return report;
}

struct Taught {
  ShownRun shown;
  RunReport report;
};

Taught taught_by(const std::string& path, const Given& given, const TableFiles& tables, const Words& words) {
  Asked asked = asked_for_heating(path, given, tables, words);
  const RunInput input = open_run(std::move(asked.request), tables);
  Taught out;
  out.report = judge_run(input);
  const bool has_treatment = !input.treatment_is_assumed;
  const std::string& name = out.report.run_name;
  out.shown = shown_by(name.empty() ? path : fmt::format("{} ({})", name, path), input, out.report);
  if (!has_treatment) out.shown.pattern.reset();
  return out;
}

/// The file to keep it in, "" for none.
std::string learned_path(const Given& given, const std::string& first_run, const TableFiles& tables,
                         const Words& words) {
  if (given.has("out")) return given.text("out");
  const Asked asked = asked_for_heating(first_run, given, tables, words);
  if (!asked.request.site) return "";
  const NamedText& site = *asked.request.site;
  const std::string written = read_site(site.name, site.bytes).learned_file;
  return written.empty() ? "" : beside(site.name, written);
}

/// A run that is given twice would count twice.
void check_each_once(const std::vector<RunReport>& reports, const std::vector<std::string>& paths) {
  std::map<std::string, std::string> owners;
  for (std::size_t i = 0; i < reports.size(); ++i)
    for (const LogResult& log : reports[i].logs) {
      const auto [owner, is_new] = owners.emplace(log.sha256, paths[i]);
      if (is_new) continue;
      throw UserError(usage(fmt::format("{} holds the same log as {}", paths[i], owner->second),
                            "name each run once, or it would count twice"));
    }
}

void keep(const std::string& path, const Learned& learned) {
  const std::string text = write_learned(learned);
  std::error_code none;
  if (!std::filesystem::exists(path, none)) return write_new_file(path, text);
  const NamedText old = read_text_file(path);
  if (!old.bytes.starts_with(learned_heading())) {
    Complaint complaint{
        Trouble::cannot_write, {path, 0, 0, ""}, "is there and was not written by lag --learn", ""};
    complaint.remedy = "name another file with --out";
    throw UserError(std::move(complaint));
  }
  replace_file(path, old.bytes, text);
}

} // namespace

int tell_runs(const Given& given, const TableFiles& tables) {
  const Words words = program_words(tables, given, given.texts("file").front());
  int status = 0;
  std::string text;
  for (const std::string& path : given.texts("file")) {
    RunReport report = [&] {
      const Progress progress(words, 1);
      return heated_run(asked_for_heating(path, given, tables, words), tables);
    }();
    if (given.has("us")) report.units = UnitSystem::us;
    if (report.heating.empty()) status = 2;
    if (given.has("json"))
      text += heating_json(report);
    else
      text += (text.empty() ? "" : "\n") + heating_text(report, words, given.has("full"), path);
  }
  print(text);
  return status;
}

int learn_from_runs(const Given& given, const TableFiles& tables) {
  const std::vector<std::string> paths = given.texts("file");
  if (paths.empty())
    throw UserError(
        usage("--learn needs runs to learn from", "write for example coldbag lag --learn */run.toml"));
  const Words words = program_words(tables, given, paths.front());
  std::vector<Taught> all(paths.size());
  {
    Progress progress(words, paths.size());
    tbb::parallel_for(std::size_t{0}, paths.size(), [&](std::size_t i) {
      all[i] = taught_by(paths[i], given, tables, words);
      progress.add_one();
    });
  }
  std::vector<ShownRun> shown;
  std::vector<RunReport> reports;
  for (Taught& one : all) {
    shown.push_back(std::move(one.shown));
    reports.push_back(std::move(one.report));
  }
  check_each_once(reports, paths);
  const Learned learned = learn(shown, read_heating_figures(tables));
  const std::string path = learned_path(given, paths.front(), tables, words);
  if (!path.empty() && !learned.bags.empty()) keep(path, learned);
  print(learned_text(learned, shown, reports, path, words));
  return learned.bags.empty() ? 2 : 0;
}

} // namespace coldbag
