#include "cli/type.h"

#include "cli/error_language.h"
#include "cli/files.h"
#include "cli/language.h"
#include "cli/options.h"
#include "cli/typist.h"
#include "logs/rows.h"
#include "probes/check_rules.h"
#include "quantity/parse.h"
#include "report/layout.h"

#include <boost/program_options.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>

namespace coldbag {

namespace {

namespace po = boost::program_options;

po::options_description options_of_type() {
  po::options_description all("Options (what is left out is asked)");
  auto add = all.add_options();
  add("help,h", "this help");
  add("probes", po::value<std::string>(), "the columns of the sheet, with commas: \"Core 1, Vessel\"");
  add("unit", po::value<std::string>(), "C or F");
  add("date", po::value<std::string>(), "of the first row: 2026-03-08");
  add("first", po::value<std::string>(), "time of the first row: 14:30");
  add("every", po::value<std::string>(), "time between rows: \"30 min\"");
  add("by", po::value<std::string>(), "who types");
  add("resume", po::value<std::string>(), "go on with a file that was begun");
  add("tables", po::value<std::string>(), "folder with data tables of your own");
  add_language_option(all);
  return all;
}

std::string how_to_type(const Words& words) {
  return wrapped(words.text("type_how_time"), 2) + wrapped(words.text("type_how_reading"), 2) +
         wrapped(words.text("type_how_rest"), 2);
}

/// Answers a question from its option or by asking until `take` finds it good. `take` returns what is wrong.
template <class TakeText>
void settle(Desk& desk, const Given& given, const char* option, const std::string& question,
            const std::string& remedy, const TakeText& take) {
  if (given.has(option)) {
    const std::string problem = take(trimmed_text(given.text(option)));
    if (!problem.empty()) refuse_option(option, problem, remedy);
    return;
  }
  for (;;) {
    const auto answer = desk.ask(question);
    if (!answer) refuse_option(option, "was not given, and the input ended before it was answered", remedy);
    const std::string problem = take(*answer);
    if (problem.empty()) return;
    desk.object({problem, remedy});
  }
}

/// A log of this sheet must read back as it was typed, whatever the columns are called.
std::string problem_of_names(const PaperSheet& sheet) {
  SheetRow row{{0}, std::vector<SheetCell>(sheet.probes.size(), SheetCell{"50.5", ""}), ""};
  std::string text = sheet_head(sheet, {}) + sheet_line(sheet, row);
  row.time.us += 1'800'000'000;
  text += sheet_line(sheet, row);
  try {
    const ProbeLog log = ProbeLog::open(Source::memory("sheet", text), {});
    const auto& columns = log.understanding().columns;
    if (columns.size() != sheet.probes.size() + 2 || !log.understanding().by_hand.value)
      return "these names do not make a log that can be read";
    for (std::size_t i = 0; i < sheet.probes.size(); ++i)
      if (columns[i + 1].kind.value != ColumnKind::temperature || columns[i + 1].name != sheet.probes[i])
        return "\"" + sheet.probes[i] + "\" would not be read as a probe of its own";
  } catch (const UserError& error) {
    return std::string("these names do not make a log that can be read: ") +
           error.complaints().front().problem;
  }
  return "";
}

std::string take_names(const std::string& text, PaperSheet& sheet) {
  sheet.probes = split_names({text});
  if (sheet.probes.empty()) return "no column was named";
  for (const std::string& name : sheet.probes)
    if (name.find('"') != std::string::npos ||
        std::any_of(name.begin(), name.end(), [](char c) { return static_cast<unsigned char>(c) < 0x20; }))
      return "a name holds a quote or a control character";
  if (sheet.by.empty()) sheet.by = "A";
  PaperSheet trial = sheet;
  trial.interval_s = 1800;
  return problem_of_names(trial);
}

std::string take_unit(const std::string& text, PaperSheet& sheet) {
  if (text != "C" && text != "F" && text != "c" && text != "f") return "\"" + text + "\" is neither C nor F";
  sheet.in_degF = text == "F" || text == "f";
  return "";
}

std::string take_interval(const std::string& text, PaperSheet& sheet) {
  const bool is_bare = !text.empty() && text.find_first_not_of("0123456789") == std::string::npos;
  const Parsed parsed = parse_quantity(is_bare ? text + " min" : text, Dimension::duration);
  if (!parsed.value) return parsed.problem;
  if (*parsed.value < 60 || *parsed.value > 12 * 3600) return "rows lie from 1 min to 12 h apart";
  sheet.interval_s = *parsed.value;
  return "";
}

SheetRange range_of(const CheckRules& rules, bool in_degF) {
  const auto shown = [&](double degC) { return in_degF ? degC * 1.8 + 32 : degC; };
  return {shown(rules.sheet_lowest_degC), shown(rules.sheet_highest_degC)};
}

/// The questions before the first row.
PaperSheet ask_sheet(Desk& desk, const Given& given, const Words& words, WallTime& first) {
  PaperSheet sheet;
  WallTime day;
  desk.tell(words.text("type_begin") + "\n");
  settle(desk, given, "probes", words.text("type_ask_probes"), "name each column, with commas between",
         [&](const std::string& text) { return take_names(text, sheet); });
  settle(desk, given, "unit", words.text("type_ask_unit"), "C or F",
         [&](const std::string& text) { return take_unit(text, sheet); });
  settle(desk, given, "date", words.text("type_ask_date"), "year, month, day: 2026-03-08",
         [&](const std::string& text) {
           const auto time = parse_iso_time(text);
           if (!time || time->has_clock) return "\"" + text + "\" is no date";
           day = time->wall;
           return std::string();
         });
  settle(desk, given, "first", words.text("type_ask_first"), "14:30 or 1430", [&](const std::string& text) {
    const Typed<WallTime> typed = typed_time(text, std::nullopt, day);
    if (typed.value) first = *typed.value;
    return typed.problem;
  });
  settle(desk, given, "every", words.text("type_ask_every"), "30, or \"1 h\"",
         [&](const std::string& text) { return take_interval(text, sheet); });
  settle(desk, given, "by", words.text("type_ask_by"), "a name or a letter", [&](const std::string& text) {
    sheet.by = text;
    return std::string(text.empty() ? "nobody was named" : "");
  });
  return sheet;
}

void say_done(const Words& words, const std::string& path, std::size_t typed, int before) {
  if (typed == 0) return print(words.text("type_done_none") + "\n");
  print(wrapped(words.text(typed == 1 ? "type_done_one" : "type_done",
                           {{"file", path},
                            {"rows", std::to_string(typed)},
                            {"total", std::to_string(before + static_cast<int>(typed))}}),
                2) +
        command_lines({"coldbag check " + path, "--site FARM.toml", "--treatment NAME"}));
}

[[noreturn]] void refuse_to_overwrite(const std::string& path) {
  Complaint complaint;
  complaint.trouble = Trouble::cannot_write;
  complaint.place.source_name = path;
  complaint.problem = "the file is there already and is never overwritten";
  complaint.remedy = "choose another name, or go on with it: coldbag type --resume " + path;
  throw UserError(std::move(complaint));
}

int type_new(Desk& desk, const Given& given, const Words& words, const CheckRules& rules) {
  const std::string path = given.text("file");
  std::error_code none;
  if (std::filesystem::exists(path, none)) refuse_to_overwrite(path);
  WallTime first;
  const PaperSheet sheet = ask_sheet(desk, given, words, first);
  SheetFile file(path, sheet, "");
  desk.tell(how_to_type(words));
  type_rows(desk, words, file, range_of(rules, sheet.in_degF), first, {sheet, {}, {}, 0}, "");
  say_done(words, path, file.rows().size(), 0);
  return 0;
}

int type_on(Desk& desk, const Given& given, const Words& words, const CheckRules& rules) {
  const std::string path = given.text("resume");
  for (const char* option : {"probes", "unit", "date", "first", "every"})
    if (given.has(option)) refuse_option(option, "does not go with --resume", "the file says it already");
  const std::string bytes = read_text_file(path).bytes;
  const BegunSheet begun = read_begun_sheet(path, bytes);
  SheetFile file(path, begun.sheet, bytes);
  desk.tell(how_to_type(words));
  const bool other = given.has("by") && given.text("by") != begun.sheet.by;
  type_rows(desk, words, file, range_of(rules, begun.sheet.in_degF), begun.last_time.value_or(WallTime{}),
            begun, other ? words.text("type_note_other", {{"by", given.text("by")}}) : "");
  say_done(words, path, file.rows().size(), begun.row_count);
  return 0;
}

} // namespace

int type_command(const std::vector<std::string>& arguments) {
  const po::options_description described = options_of_type();
  const Given given = parse_options("type", described, {{"file", 1}}, arguments);
  const TableFiles tables = TableFiles::open(given.text("tables"));
  const Words words = program_words(tables, given);
  if (given.has("help")) {
    print(help_text("coldbag type FILE.csv [options]\ncoldbag type --resume FILE.csv\n\n"
                    "Asks for the readings of a paper sheet, row by row, and writes a log that says\nso. "
                    "Every row is on the disk as soon as it is accepted. Never overwrites a\nfile.\n",
                    described) +
          "\n" + how_to_type(words));
    return 0;
  }
  if (given.has("file") == given.has("resume"))
    throw UserError(usage("type needs the name of one log: a new one, or with --resume one that was begun",
                          "write for example coldbag type sheet.csv"));
  const CheckRules rules = read_check_rules(tables);
  Desk desk(words_of_errors(arguments));
  return given.has("resume") ? type_on(desk, given, words, rules) : type_new(desk, given, words, rules);
}

} // namespace coldbag
