#include "cli/sheet.h"

#include "cli/files.h"
#include "cli/language.h"
#include "cli/options.h"
#include "cli/write_file.h"
#include "farm/site.h"
#include "logs/paper_sheet.h"
#include "report/layout.h"
#include "report/sheet_text.h"
#include "run/caution_tables.h"
#include "sizing/run_sheet.h"

#include <boost/program_options.hpp>

#include <charconv>

namespace coldbag {

namespace {

namespace po = boost::program_options;

constexpr int unnamed_probes = 4; ///< columns where neither options nor site file name one

po::options_description options_of_sheet() {
  const auto text = [] { return po::value<std::string>(); };
  po::options_description all("Options (what is left out is left to be written)");
  auto add = all.add_options();
  add("site", text(), "site file: vessel, bags, probes, units");
  add("vessel", text(), "its name; of the site file, where that has vessels");
  add("treatment", text(), "what the run is to do: atmospheric_steam");
  add("bag", text(), "kind of bag; of the site file, where that has kinds");
  add("bags", text(), "how many");
  add("probes", text(), "columns, with commas between: \"Core 1, Core 2, Vessel\"");
  add("every", text(), "time between readings: 30 (minutes), \"1 h\"");
  add("start", text(), "when steam goes on: 18:30, or with its date \"2026-03-08 18:30\"");
  add("for", text(), "from steam on to the last reading: \"14 h\"");
  add("us", "F, psi and lb");
  add("out", text(), "new file for the sheet; never overwritten");
  add("tables", text(), "folder with data tables of your own");
  add_language_option(all);
  add("help,h", "this help");
  return all;
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

int count_option(const std::string& text) {
  int count = 0;
  const auto [end, fault] = std::from_chars(text.data(), text.data() + text.size(), count);
  if (fault != std::errc{} || end != text.data() + text.size() || count < 1)
    refuse_option("bags", "\"" + text + "\" is no number of bags", "write for example --bags 40");
  return count;
}

SheetAsked what_is_asked(const Given& given, const std::optional<Site>& site, const Words& words) {
  SheetAsked asked;
  asked.vessel = given.text("vessel");
  asked.treatment = given.text("treatment");
  asked.bag = given.text("bag");
  if (given.has("bags")) asked.bag_count = count_option(trimmed_text(given.text("bags")));
  asked.probes = split_names(given.texts("probes"));
  const bool names_none = !given.has("probes") && (!site || site->probes.empty());
  for (int i = 1; names_none && i <= unnamed_probes; ++i)
    asked.probes.push_back(words.text("sheet_probe_number", {{"number", std::to_string(i)}}));
  if (given.has("every")) asked.every_s = interval_option(trimmed_text(given.text("every")));
  if (given.has("for")) asked.for_s = quantity_option("for", given.text("for"), Dimension::duration);
  if (given.has("start")) asked.start = start_option(trimmed_text(given.text("start")));
  if (given.has("us")) asked.units = UnitSystem::us;
  return asked;
}

} // namespace

int sheet_command(const std::vector<std::string>& arguments) {
  const po::options_description described = options_of_sheet();
  const Given given = parse_options("sheet", described, {}, arguments);
  if (given.has("help")) {
    print(help_text("coldbag sheet [options]\n\n"
                    "A blank sheet on paper for a run that is read by eye, to be typed off with\n"
                    "coldbag type. Print it on both sides: the back says what to do when something\n"
                    "goes wrong.\n\n"
                    "  coldbag sheet --treatment atmospheric_steam --start 18:30 \\\n"
                    "    --probes \"Core 1, Core 2, Vessel\" --bags 40 --out sheet.txt\n",
                    described));
    return 0;
  }
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
  const std::string text = sheet_text(sheet, words);
  if (!given.has("out")) {
    print(text);
    return 0;
  }
  write_new_file(given.text("out"), text);
  print(wrapped(words.text("sheet_done", {{"file", clean(given.text("out"))},
                                          {"pages", std::to_string(pages_of_sheet(text))}}),
                2));
  return 0;
}

} // namespace coldbag
