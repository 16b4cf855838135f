#include "cli/size.h"

#include "cli/drawn_plan.h"
#include "cli/error_language.h"
#include "cli/files.h"
#include "cli/lag_options.h"
#include "cli/language.h"
#include "cli/paper_option.h"
#include "cli/progress.h"
#include "cli/size_fitting.h"
#include "cli/size_many.h"
#include "cli/size_options.h"
#include "cli/size_run.h"
#include "cli/write_file.h"
#include "report/beside_blocks.h"
#include "report/plan_blocks.h"
#include "report/screen.h"
#include "report/sheet_pdf.h"
#include "report/sheet_text.h"
#include "report/sweep_text.h"
#include "run/caution_tables.h"
#include "sizing/filled_sheet.h"
#include "sizing/plan_json.h"

#include <boost/program_options.hpp>

#include <filesystem>

namespace coldbag {

namespace {

constexpr int not_enough_status = 2;

std::optional<Site> site_of(const Given& given) {
  if (!given.has("site")) return std::nullopt;
  const NamedText file = read_text_file(given.text("site"));
  return read_site(file.name, file.bytes);
}

int tell_many(const Given& given, const ManyPlans& many, const SizingTables& tables, const Words& words,
              const ErrorWords& errors) {
  for (const char* option : {"csv", "sheet", "steam-on", "full", "html", "pdf"})
    if (given.has(option))
      refuse_option(option, "is of one plan, and these are many", "leave out --vary and --supply");
  double between_s = 0;
  if (given.has("between"))
    between_s = quantity_option("between", given.text("between"), Dimension::duration);
  if (between_s < 0) refuse_option("between", "a pause is not negative", "0 or more");
  std::vector<SweepRow> rows;
  {
    Progress progress(words, many.points.size());
    rows = sweep(many.points, tables, between_s, [&] { progress.add_one(); });
  }
  if (!given.has("json"))
    for (SweepRow& row : rows)
      for (Complaint& complaint : row.refused)
        complaint = retold(complaint, errors);
  const BestRow best = best_of(rows, sweep_limits(given));
  print(given.has("json") ? sweep_json(many.heads, rows, best) : sweep_text(many.heads, rows, best, words));
  return best.row ? 0 : not_enough_status;
}

/// What is said and would be passed over in silence.
void refuse_what_says_nothing(const Given& given) {
  const auto needs = [&](const char* option, const char* other) {
    if (given.has(option) && !given.has(other))
      refuse_option(option, "says nothing by itself", std::string("add --") + other + ", or leave it out");
  };
  needs("metered", "run");
  needs("probes", "sheet");
  check_paper_option(given, {"pdf", "sheet"});
  if (!given.has("site") && !given.has("supply") && !given.has("run")) {
    needs("price", "fuel");
    needs("volts", "fuel");
    needs("phases", "volts");
  }
  if (given.has("run") && (given.has("bags") || given.has("load") || has_bag_options(given)))
    refuse_option("run", "the load is the run's, and another option says it too", "leave one of them out");
}

/// A run sheet on paper, with the plan beside its lines.
void write_sheet(const Given& given, const PlanReport& report, const std::optional<Site>& site,
                 const SizingTables& tables, const TableFiles& files, const Words& words) {
  constexpr double goes_on_s = 3600;
  SheetAsked asked;
  if (site) asked.vessel = report.name;
  asked.treatment = report.resolved.treatment.key;
  asked.for_s = report.plan.steam_off_s + goes_on_s;
  asked.units = report.units;
  if (report.steam_on_us) asked.start = SheetStart{WallTime{*report.steam_on_us}, false};
  asked.probes = split_names(given.texts("probes"));
  for (const char* number : {"1", "2", "3"})
    if (!given.has("probes") && (!site || site->probes.empty()))
      asked.probes.push_back(words.text("sheet_probe_number", {{"number", number}}));
  const RunSheet sheet = filled_sheet(
      blank_run_sheet(asked, site ? &*site : nullptr, tables.treatments, read_caution_tables(files)), report);
  const std::string path = given.text("sheet");
  const bool is_pdf = std::filesystem::path(path).extension() == ".pdf";
  write_new_file(path, is_pdf ? sheet_pdf(sheet, words, paper_option(given, sheet.units)).bytes
                              : sheet_text(sheet, words));
}

} // namespace

int size_command(const std::vector<std::string>& arguments) {
  const Words words_of_help = help_words(arguments);
  const auto described = size_options(words_of_help);
  const Given given = parse_options("size", described, {}, with_bag_named(arguments));
  if (given.has("help")) {
    print(help_text({{R"(coldbag size --bags N --mass "5 lb" --steam "6 kW" --volume "208 L" ...)",
                      "coldbag size --site FARM.toml [--vessel NAME] [--bag NAME] --bags N ..."},
                     words_of_help.text("help_says_size"),
                     ""},
                    described));
    return 0;
  }
  refuse_what_says_nothing(given);
  const TableFiles files = TableFiles::open(given.text("tables"));
  const SizingTables tables = read_sizing_tables(files);
  const Words words = program_words(files, given, given.text("run"));
  std::optional<PlanOfRun> of_run;
  if (given.has("run")) of_run = plan_of_run(given, files, words);
  PlanRequest request = of_run ? of_run->request : read_plan_request(given, site_of(given), files);
  BesidePlan beside;
  beside.fitting = fit_request(given, request, tables);
  if (const auto many = many_plans(given, request))
    return tell_many(given, *many, tables, words, words_of_errors(arguments));
  for (const char* option : {"within", "water-within", "between"})
    if (given.has(option))
      refuse_option(option, "chooses among several plans, and there is one", "add --vary or --supply");
  PlanReport report = plan_report(request, tables);
  report.steam_on_us = steam_on_us(given);
  if (const auto asked_s = come_up_in_s(given)) beside.boiler = ask_boiler(request, tables, *asked_s);
  if (of_run) beside.run = compare_plan(report, of_run->seen, tables.heating.vapour);
  if (given.has("csv")) write_new_file(given.text("csv"), plan_csv(report));
  write_drawn_plan(given, report, beside, words, files);
  if (given.has("sheet")) write_sheet(given, report, site_of(given), tables, files, words);
  if (given.has("json")) {
    print(plan_json(report, beside));
  } else {
    Blocks blocks = plan_blocks(report, words, given.has("full"));
    append(blocks, beside_blocks(beside, report, words));
    print(screen_text(blocks));
  }
  return report.plan.is_enough ? 0 : not_enough_status;
}

} // namespace coldbag
