#include "cli/sheet.h"

#include "cli/files.h"
#include "cli/language.h"
#include "cli/option_group.h"
#include "cli/options.h"
#include "cli/paper_option.h"
#include "cli/write_file.h"
#include "farm/site.h"
#include "logs/paper_sheet.h"
#include "report/layout.h"
#include "report/sheet_pdf.h"
#include "report/sheet_text.h"
#include "report/tags.h"
#include "run/caution_tables.h"
#include "run/follow_up.h"
#include "sizing/run_sheet.h"

#include <boost/program_options.hpp>

#include <charconv>
#include <limits>
#include <utility>

namespace coldbag {

namespace {

namespace po = boost::program_options;

constexpr int unnamed_probes = 4; ///< columns where neither options nor site file name one

po::options_description options_of_sheet(const Words& words) {
  OptionGroup all(words, "sheet");
  all.text("site", "sheet-site").text("vessel", "sheet-vessel").text("treatment", "sheet-treatment");
  all.text("bag", "sheet-bag").text("bags", "sheet-bags").text("probes", "sheet-probes");
  all.text("every", "sheet-every").text("start", "sheet-start").text("for").flag("us", "sheet-us");
  all.text("run-name", "sheet-run-name").text("out", "sheet-out").text("pdf", "sheet-pdf");
  all.text("tags").text("racks").text("paper", "sheet-paper").text("tables").text("language").flag("help,h");
  return all.described();
}

/// A bare number counts minutes, as `coldbag type` has it.
double interval_option(const std::string& text) {
  const bool is_bare = !text.empty() && text.find_first_not_of("0123456789") == std::string::npos;
  return quantity_option("every", is_bare ? text + " min" : text, Dimension::duration);
}

/// A clock, or a date with its clock, in the forms that `coldbag type` reads.
SheetStart start_option(const std::string& text) {
  const Typed<WallTime> typed = typed_time(text, std::nullopt, WallTime{});
  if (!typed.value)
    refuse_option("start", typed.problem, "write for example --start 18:30 or --start \"2026-03-08 18:30\"");
  constexpr std::int64_t day_us = 86'400'000'000;
  return {*typed.value, typed.value->us < 0 || typed.value->us >= day_us};
}

int count_option(const std::string& option, const std::string& text, int most) {
  int count = 0;
  const auto [end, fault] = std::from_chars(text.data(), text.data() + text.size(), count);
  if (fault != std::errc{} || end != text.data() + text.size() || count < 1)
    refuse_option(option, "\"" + text + "\" is no whole number above 0",
                  "write for example --" + option + " 40");
  if (count > most)
    refuse_option(option, "\"" + text + "\" is too many", "at most " + std::to_string(most) + " racks");
  return count;
}

SheetAsked what_is_asked(const Given& given, const std::optional<Site>& site, const Words& words) {
  SheetAsked asked;
  asked.vessel = given.text("vessel");
  asked.treatment = given.text("treatment");
  asked.bag = given.text("bag");
  if (given.has("bags"))
    asked.bag_count = count_option("bags", trimmed_text(given.text("bags")), std::numeric_limits<int>::max());
  asked.probes = split_names(given.texts("probes"));
  const bool names_none = !given.has("probes") && (!site || site->probes.empty());
  for (int i = 1; names_none && i <= unnamed_probes; ++i)
    asked.probes.push_back(words.text("sheet_probe_number", {{"number", std::to_string(i)}}));
  if (given.has("every")) asked.every_s = interval_option(trimmed_text(given.text("every")));
  if (given.has("for")) asked.for_s = quantity_option("for", given.text("for"), Dimension::duration);
  if (given.has("start")) asked.start = start_option(trimmed_text(given.text("start")));
  if (given.has("us")) asked.units = UnitSystem::us;
  asked.run_name = given.text("run-name");
  return asked;
}

/// What is said and would be passed over in silence.
void refuse_what_says_nothing(const Given& given) {
  if (given.has("racks") && !given.has("tags"))
    refuse_option("racks", "says nothing by itself", "add --tags, or leave it out");
  check_paper_option(given, {"pdf", "tags"});
}

/// A file to be made, and what is said when it was.
struct Made {
  std::string path;
  std::string bytes;
  std::string said;
};

/// Every file that was asked for; nothing is written yet.
std::vector<Made> files_of(const Given& given, const RunSheet& sheet, const TableFiles& tables,
                           const Words& words) {
  std::vector<Made> files;
  const auto sheet_said = [&](const std::string& path, std::size_t pages) {
    return words.text("sheet_done", {{"file", clean(path)}, {"pages", std::to_string(pages)}});
  };
  if (given.has("out")) {
    std::string text = sheet_text(sheet, words);
    const std::size_t pages = pages_of_sheet(text);
    files.push_back({given.text("out"), std::move(text), sheet_said(given.text("out"), pages)});
  }
  const Paper paper = paper_option(given, sheet.units);
  if (given.has("pdf")) {
    PrintedPdf pdf = sheet_pdf(sheet, words, paper);
    files.push_back({given.text("pdf"), std::move(pdf.bytes), sheet_said(given.text("pdf"), pdf.pages)});
  }
  if (given.has("tags")) {
    std::optional<int> racks;
    if (given.has("racks")) racks = count_option("racks", trimmed_text(given.text("racks")), most_racks);
    files.push_back(
        {given.text("tags"),
         tags_pdf(rack_tags(sheet, words, racks), read_follow_up_days(tables), words, paper).bytes,
         words.text("tags_done", {{"file", clean(given.text("tags"))}})});
  }
  return files;
}

} // namespace

int sheet_command(const std::vector<std::string>& arguments) {
  const Words words_of_help = help_words(arguments);
  const po::options_description described = options_of_sheet(words_of_help);
  const Given given = parse_options("sheet", described, {}, arguments);
  if (given.has("help")) {
    print(help_text({{"coldbag sheet ..."},
                     words_of_help.text("help_says_sheet"),
                     R"(  coldbag sheet --treatment atmospheric_steam --start 18:30 \
    --probes "Core 1, Core 2, Vessel" --bags 40 --out sheet.txt
)"},
                    described));
    return 0;
  }
  refuse_what_says_nothing(given);
  const TableFiles tables = TableFiles::open(given.text("tables"));
  const Words words = program_words(tables, given);
  std::optional<Site> site;
  if (given.has("site")) {
    const NamedText file = read_text_file(given.text("site"));
    site = read_site(file.name, file.bytes);
  }
  const std::vector<Treatment> built_in =
      read_treatments(tables.source_name("treatments.toml"), tables.bytes("treatments.toml"));
  const RunSheet sheet = blank_run_sheet(what_is_asked(given, site, words), site ? &*site : nullptr, built_in,
                                         read_caution_tables(tables));
  const std::vector<Made> files = files_of(given, sheet, tables, words);
  if (files.empty()) print(sheet_text(sheet, words));
  for (const Made& file : files) {
    write_new_file(file.path, file.bytes);
    print(wrapped(file.said, 2));
  }
  return 0;
}

} // namespace coldbag
