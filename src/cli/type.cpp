#include "cli/type.h"

#include "cli/files.h"
#include "cli/write_file.h"
#include "logs/paper_sheet.h"
#include "logs/rows.h"
#include "probes/check_rules.h"
#include "quantity/parse.h"
#include "quantity/print.h"

#include <boost/program_options.hpp>

#include <fmt/format.h>

#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <filesystem>
#include <iostream>
#include <sstream>

namespace coldbag {

namespace {

namespace po = boost::program_options;

const char* const how_to_type =
    "Time: Enter takes the one shown; else 1430 or 14:30.\n"
    "Reading: 98.4 or 98,4; Enter for none; \" as above; 98.4>97.1 where 98.4 was\n"
    "crossed out. # and a remark; back to mend; end.\n";

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
  return all;
}

std::string trimmed_text(const std::string& text) {
  const std::size_t first = text.find_first_not_of(" \t\r");
  if (first == std::string::npos) return "";
  return text.substr(first, text.find_last_not_of(" \t\r") - first + 1);
}

/// Lines from a person or from a pipe. What a person mistypes is asked again; in a pipe nobody is there to
/// ask, and the lines behind a bad one would be taken for something else, so it ends.
class Desk {
 public:
  [[nodiscard]] bool is_person() const { return is_person_; }

  std::optional<std::string> ask(const std::string& prompt) {
    if (is_person_) {
      std::printf("%s ", prompt.c_str());
      std::fflush(stdout);
    }
    std::string line;
    if (!std::getline(std::cin, line)) return {};
    ++line_;
    return trimmed_text(line);
  }

  void tell(const std::string& text) const {
    if (is_person_) std::printf("%s\n", text.c_str());
  }

  void object(const std::string& problem, const std::string& remedy) const {
    if (!is_person_) throw UserError({Trouble::bad_data, {"standard input", line_, 0, ""}, problem, remedy});
    std::printf("  ? %s; %s\n", problem.c_str(), remedy.c_str());
  }

 private:
  bool is_person_ = isatty(STDIN_FILENO) != 0;
  int line_ = 0;
};

/// Answers a question from its option or by asking until `take` finds it good. `take` returns what is wrong.
template <class Take>
void settle(Desk& desk, const po::variables_map& given, const char* option, const std::string& question,
            const std::string& remedy, const Take& take) {
  if (given.count(option)) {
    const std::string text = given[option].as<std::string>();
    const std::string problem = take(trimmed_text(text));
    if (!problem.empty()) throw UserError(usage(fmt::format("--{}: {}", option, problem), remedy));
    return;
  }
  for (;;) {
    const auto answer = desk.ask(question);
    if (!answer)
      throw UserError(usage(
          fmt::format("--{} was not given, and the input ended before it was answered", option), remedy));
    const std::string problem = take(*answer);
    if (problem.empty()) return;
    desk.object(problem, remedy);
  }
}

std::vector<std::string> names_in(const std::string& text) {
  std::vector<std::string> names;
  std::stringstream parts(text);
  for (std::string part; std::getline(parts, part, ',');)
    if (const std::string name = trimmed_text(part); !name.empty()) names.push_back(name);
  return names;
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
  sheet.probes = names_in(text);
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

/// The rows typed now, and the file that holds every one of them as soon as it is accepted.
class SheetFile {
 public:
  SheetFile(std::string path, PaperSheet sheet, std::string begun_bytes)
      : path_(std::move(path)), sheet_(std::move(sheet)), bytes_(std::move(begun_bytes)) {}

  [[nodiscard]] const std::vector<SheetRow>& rows() const { return rows_; }
  [[nodiscard]] const PaperSheet& sheet() const { return sheet_; }

  void add(const SheetRow& row) {
    const std::string line = sheet_line(sheet_, row);
    if (bytes_.empty()) {
      bytes_ =
          sheet_head(sheet_, std::chrono::floor<std::chrono::microseconds>(std::chrono::system_clock::now()));
      bytes_ += line;
      starts_.push_back(bytes_.size() - line.size());
      write_new_file(path_, bytes_);
    } else {
      append_to_file(path_, bytes_.size(), line);
      starts_.push_back(bytes_.size());
      bytes_ += line;
    }
    rows_.push_back(row);
  }

  /// In one step: a fall of the power leaves the old row or the new one.
  void mend(std::size_t at, const SheetRow& row) {
    const std::string line = sheet_line(sheet_, row);
    const std::size_t end = at + 1 < starts_.size() ? starts_[at + 1] : bytes_.size();
    std::string mended = bytes_;
    mended.replace(starts_[at], end - starts_[at], line);
    replace_file(path_, bytes_, mended);
    for (std::size_t i = at + 1; i < starts_.size(); ++i)
      starts_[i] = starts_[i] - (end - starts_[at]) + line.size();
    bytes_ = std::move(mended);
    rows_[at] = row;
  }

 private:
  std::string path_;
  PaperSheet sheet_;
  std::string bytes_;
  std::vector<SheetRow> rows_;
  std::vector<std::size_t> starts_; ///< where each row begins in the bytes
};

/// What one line of input asks for beside a value.
enum class Wish { value, back, end };

Wish wish_of(const std::optional<std::string>& line) {
  if (!line || *line == "end") return Wish::end;
  return *line == "back" ? Wish::back : Wish::value;
}

/// Asks row after row until the end.
class Typist {
 public:
  Typist(Desk& desk, SheetFile& file, const SheetRange& range, WallTime first, const BegunSheet& begun)
      : desk_(desk), file_(file), range_(range), first_(first), begun_(begun) {}

  void type_rows(const std::string& first_note) {
    note_ = first_note;
    for (;;) {
      const Wish wish = type_row();
      if (wish == Wish::end) return;
      if (wish == Wish::value) {
        ++at_;
      } else if (at_ == 0) {
        desk_.object("this is the first row typed now", "go on, or mend earlier rows in the file afterwards");
      } else {
        --at_;
      }
    }
  }

 private:
  [[nodiscard]] bool is_old() const { return at_ < file_.rows().size(); }

  [[nodiscard]] std::optional<WallTime> time_above() const {
    if (at_ > 0) return file_.rows()[at_ - 1].time;
    return begun_.last_time;
  }

  [[nodiscard]] WallTime time_shown() const {
    if (is_old()) return file_.rows()[at_].time;
    const auto above = time_above();
    if (!above) return first_;
    return {above->us + static_cast<std::int64_t>(file_.sheet().interval_s * 1e6)};
  }

  [[nodiscard]] std::string prompt_of_time(WallTime shown) const {
    const std::string text = print_iso_wall(shown);
    const auto above = time_above();
    const bool new_day = !above || print_iso_wall(*above).substr(0, 10) != text.substr(0, 10);
    return fmt::format("{:>3}  {}{}?", begun_.row_count + static_cast<int>(at_) + 1,
                       new_day ? text.substr(0, 10) + " " : "", text.substr(11, 5));
  }

  /// The values above a cell and those of the cells behind it.
  [[nodiscard]] std::vector<std::string> values_above(std::size_t from) const {
    std::vector<std::string> values;
    for (std::size_t i = from; i < file_.sheet().probes.size(); ++i)
      if (at_ > 0)
        values.push_back(file_.rows()[at_ - 1].cells[i].value);
      else
        values.push_back(i < begun_.last_values.size() ? begun_.last_values[i] : "");
    return values;
  }

  bool takes_note(const std::string& line) {
    if (!line.starts_with('#')) return false;
    note_ = trimmed_text(line.substr(1));
    return true;
  }

  Wish ask_time(WallTime& time) {
    const WallTime shown = time_shown();
    for (;;) {
      const auto line = desk_.ask(prompt_of_time(shown));
      const Wish wish = wish_of(line);
      if (wish != Wish::value) return wish;
      if (takes_note(*line)) continue;
      time = shown;
      if (!line->empty()) {
        const Typed<WallTime> typed = typed_time(*line, time_above(), shown);
        if (!typed.value) {
          desk_.object(typed.problem, typed.remedy);
          continue;
        }
        time = *typed.value;
      }
      if (at_ + 1 < file_.rows().size() && time >= file_.rows()[at_ + 1].time) {
        desk_.object("this is not before the row below", "type a time between the two rows");
        continue;
      }
      const auto above = time_above();
      if (above && static_cast<double>(time.us - above->us) > 2e6 * file_.sheet().interval_s)
        desk_.tell(fmt::format("  {} since the row above",
                               print_duration(static_cast<double>(time.us - above->us) / 1e6)));
      return wish;
    }
  }

  /// Fills the cells from `at` on with one line; false where the line is none.
  bool take_cells(const std::string& line, std::size_t& at, SheetRow& row) {
    if (line.empty() && is_old()) {
      ++at; // as it was
      return true;
    }
    const Typed<std::vector<SheetCell>> typed =
        typed_cells(line, values_above(at), file_.sheet().in_degF, range_);
    if (!typed.value) {
      desk_.object(typed.problem, typed.remedy);
      return false;
    }
    if (typed.value->size() > row.cells.size() - at) {
      desk_.object(fmt::format("{} readings for {} column(s)", typed.value->size(), row.cells.size() - at),
                   "type a reading a column; - for none");
      return false;
    }
    for (const SheetCell& cell : *typed.value)
      row.cells[at++] = cell;
    return true;
  }

  [[nodiscard]] std::string prompt_of_cell(std::size_t at) const {
    std::string prompt = "     " + file_.sheet().probes[at];
    if (is_old()) {
      const std::string& value = file_.rows()[at_].cells[at].value;
      prompt += " [" + (value.empty() ? "-" : value) + "]";
    }
    return prompt + ":";
  }

  Wish type_row() {
    const std::size_t width = file_.sheet().probes.size();
    SheetRow row{{}, std::vector<SheetCell>(width), ""};
    if (is_old()) {
      note_ = file_.rows()[at_].note;
      row.cells = file_.rows()[at_].cells;
    }
    std::size_t at = 0;
    bool ended = false;
    for (;;) {
      const Wish wish = ask_time(row.time);
      if (wish != Wish::value) return wish;
      bool again = false;
      while (at < width && !ended && !again) {
        const auto line = desk_.ask(prompt_of_cell(at));
        const Wish of_cell = wish_of(line);
        ended = of_cell == Wish::end;
        again = of_cell == Wish::back;
        if (of_cell == Wish::value && !takes_note(*line)) (void)take_cells(*line, at, row);
      }
      if (!again) break;
      at = 0;
    }
    // A row of which nothing was typed before the end is not there; of a row begun, nothing is lost.
    if (ended && at == 0 && note_.empty()) return Wish::end;
    row.note = note_;
    note_.clear();
    if (is_old())
      file_.mend(at_, row);
    else
      file_.add(row);
    return ended ? Wish::end : Wish::value;
  }

  Desk& desk_;
  SheetFile& file_;
  SheetRange range_;
  WallTime first_;
  const BegunSheet& begun_;
  std::size_t at_ = 0; ///< row being typed, of those typed now
  std::string note_;
};

SheetRange range_of(const CheckRules& rules, bool in_degF) {
  const auto shown = [&](double degC) { return in_degF ? degC * 1.8 + 32 : degC; };
  return {shown(rules.sheet_lowest_degC), shown(rules.sheet_highest_degC)};
}

/// The questions before the first row.
PaperSheet ask_sheet(Desk& desk, const po::variables_map& given, WallTime& first) {
  PaperSheet sheet;
  WallTime day;
  desk.tell("From the top of the sheet:");
  settle(desk, given, "probes", "Columns of readings (Core 1, Vessel)?",
         "name each column, with commas between",
         [&](const std::string& text) { return take_names(text, sheet); });
  settle(desk, given, "unit", "C or F?", "C or F",
         [&](const std::string& text) { return take_unit(text, sheet); });
  settle(desk, given, "date", "Date of the first row (2026-03-08)?", "year, month, day: 2026-03-08",
         [&](const std::string& text) {
           const auto time = parse_iso_time(text);
           if (!time || time->has_clock) return "\"" + text + "\" is no date";
           day = time->wall;
           return std::string();
         });
  settle(desk, given, "first", "Time of the first row (1430)?", "14:30 or 1430",
         [&](const std::string& text) {
           const Typed<WallTime> typed = typed_time(text, std::nullopt, day);
           if (typed.value) first = *typed.value;
           return typed.problem;
         });
  settle(desk, given, "every", "Minutes between rows (30)?", "30, or \"1 h\"",
         [&](const std::string& text) { return take_interval(text, sheet); });
  settle(desk, given, "by", "Who types?", "a name or a letter", [&](const std::string& text) {
    sheet.by = text;
    return std::string(text.empty() ? "nobody was named" : "");
  });
  return sheet;
}

void say_done(const std::string& path, std::size_t typed, int before) {
  if (typed == 0) {
    std::printf("No row was typed; nothing was written.\n");
    return;
  }
  std::printf("%s: %zu row%s typed, %d in all. Next:\n  coldbag check %s --site FARM.toml --treatment NAME\n",
              path.c_str(), typed, typed == 1 ? "" : "s", before + static_cast<int>(typed), path.c_str());
}

int type_new(Desk& desk, const po::variables_map& given, const std::string& path, const CheckRules& rules) {
  std::error_code none;
  if (std::filesystem::exists(path, none))
    throw UserError({Trouble::cannot_write,
                     {path, 0, 0, ""},
                     "the file is there already and is never overwritten",
                     "choose another name, or go on with it: coldbag type --resume " + path});
  WallTime first;
  const PaperSheet sheet = ask_sheet(desk, given, first);
  const BegunSheet begun{sheet, {}, {}, 0};
  SheetFile file(path, sheet, "");
  desk.tell(how_to_type);
  Typist(desk, file, range_of(rules, sheet.in_degF), first, begun).type_rows("");
  say_done(path, file.rows().size(), 0);
  return 0;
}

int type_on(Desk& desk, const po::variables_map& given, const std::string& path, const CheckRules& rules) {
  for (const char* option : {"probes", "unit", "date", "first", "every"})
    if (given.count(option))
      throw UserError(
          usage(fmt::format("--{} does not go with --resume", option), "the file says it already"));
  const std::string bytes = read_text_file(path).bytes;
  const BegunSheet begun = read_begun_sheet(path, bytes);
  SheetFile file(path, begun.sheet, bytes);
  desk.tell(how_to_type);
  const bool other = given.count("by") > 0 && given["by"].as<std::string>() != begun.sheet.by;
  Typist(desk, file, range_of(rules, begun.sheet.in_degF), begun.last_time.value_or(WallTime{}), begun)
      .type_rows(other ? "from here typed by " + given["by"].as<std::string>() : "");
  say_done(path, file.rows().size(), begun.row_count);
  return 0;
}

} // namespace

int type_command(const std::vector<std::string>& arguments) {
  po::options_description visible = options_of_type();
  po::options_description all;
  all.add(visible).add_options()("file", po::value<std::string>());
  po::positional_options_description positional;
  positional.add("file", 1);
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
    throw UserError(usage(error.what(), "see coldbag type --help"));
  }
  if (given.count("help")) {
    std::ostringstream options;
    options << visible;
    std::printf("coldbag type FILE.csv [options]\ncoldbag type --resume FILE.csv\n\n"
                "Asks for the readings of a paper sheet, row by row, and writes a log that says so.\n"
                "Every row is on the disk as soon as it is accepted. Never overwrites a file.\n\n%s\n%s",
                how_to_type, options.str().c_str());
    return 0;
  }
  if (given.count("file") + given.count("resume") != 1)
    throw UserError(usage("type needs the name of one log: a new one, or with --resume one that was begun",
                          "write for example coldbag type sheet.csv"));
  const TableFiles tables = TableFiles::open(given.count("tables") ? given["tables"].as<std::string>() : "");
  const CheckRules rules = read_check_rules(tables);
  Desk desk;
  if (given.count("resume")) return type_on(desk, given, given["resume"].as<std::string>(), rules);
  return type_new(desk, given, given["file"].as<std::string>(), rules);
}

} // namespace coldbag
