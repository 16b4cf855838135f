// Every file of broken/ has one fault, and gets the message that names place, problem and remedy.
#include "logs/rows.h"
#include "logs/samples.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <filesystem>
#include <set>
#include <string>
#include <vector>

namespace coldbag {
namespace {

struct Broken {
  std::string file;
  LogOptions options;
  std::vector<std::string> fragments; ///< of the message: place, problem, remedy
};

LogOptions with(void (*set)(LogOptions&)) {
  LogOptions options;
  set(options);
  return options;
}

const std::string no_unit = "has no temperature unit";
const std::string say_unit = "or say --unit C or --unit F";

std::vector<Broken> broken_logs() {
  return {
      {"no-header-no-unit", {}, {".csv:1:21: column 2: " + no_unit, ".csv:1:26: column 3: ", say_unit}},
      {"no-unit-in-header", {}, {".csv:1:6: Core 1: " + no_unit, ".csv:1:13: Core 2: ", say_unit}},
      {"unit-on-one-column-only", {}, {".csv:1:19: Core 2: " + no_unit, "\"Core 2 (C)\"", say_unit}},
      {"elapsed-two-parts", {}, {".csv:2: Elapsed: ", "\"0:00\"", "--elapsed-unit h (h:mm) or min (m:ss)"}},
      {"elapsed-without-unit",
       {},
       {".csv:1:1: Elapsed: ", "elapsed time has no unit", "--elapsed-unit s, min or h"}},
      {"elapsed-given-a-text-unit",
       {},
       {".csv:1:1: Time: ", "elapsed time has no unit", "--elapsed-unit s, min or h"}},
      {"two-time-columns",
       {},
       {".csv:1:1: Local time: ", "\"Local time\", \"UTC time\"", "--time-column \"Local time\""}},
      {"no-time-column", {}, {".csv:1: ", "no column holds times", "\"Row\", \"Core 1\"", "--time-column 1"}},
      {"no-temperature-column",
       {},
       {".csv:1: ", "no column holds temperatures", "\"Humidity\" (the name says \"humidity\")",
        "--delimiter"}},
      {"unit-line-between-rows",
       {},
       {".csv:6: ", "\"Unit: F\" stands between the rows, but they are read in C", "two logs"}},
      {"only-a-header", {}, {".csv:1: ", "no row with a time and a reading", "--delimiter"}},
      {"empty", {}, {".csv: ", "is empty", "a header and rows"}},
      {"only-blank-lines", {}, {".csv: ", "is empty", "a header and rows"}},
      {"no-delimiter",
       {},
       {".csv:1: ", "no line has a comma, semicolon, tab, pipe or run of blanks", "--delimiter semicolon"}},
      {"other-delimiter",
       {},
       {".csv:1: ", "no line has a comma, semicolon, tab, pipe or run of blanks", "--delimiter semicolon"}},
      {"decimal-comma-in-commas",
       {},
       {".csv:2: ", "more cells than the header: here 3, in line 1 2", "--delimiter"}},
      {"decimal-commas-or-two-readings",
       with([](LogOptions& o) { o.temperature_unit = ColumnUnit::degC; }),
       {".csv:1: \"20,1\" may be two readings, or one with a decimal comma", "--delimiter comma",
        "put semicolons between the cells"}},
      {"both-decimal-marks", {}, {".csv:4: ", "decimal point (96.3)", "decimal comma (96,1)", "--decimal"}},
      {"utf-32", {}, {".csv: ", "is written in UTF-32", "save it as UTF-8"}},
      {"spreadsheet-workbook", {}, {".csv: ", "a spreadsheet workbook, not text", "as CSV text"}},
      {"mostly-zero-bytes", {}, {".csv: ", "is not text: 9 of its first 13 bytes are zero", "UTF-8"}},
      {"unit-given-against-header",
       with([](LogOptions& o) { o.temperature_unit = ColumnUnit::degC; }),
       {".csv:1:6: Core 1: ", "the header says \"°F\", but --unit C was given", "leave --unit out"}},
      {"named-time-column-absent",
       with([](LogOptions& o) { o.time_column = "Clock"; }),
       {".csv:1: ", "no column is called \"Clock\" (--time-column)",
        "columns here are \"Time\", \"Core 1\""}},
      {"named-time-column-holds-text",
       with([](LogOptions& o) { o.time_column = "Note"; }),
       {".csv:1:1: Note: ", "holds no times: \"steam on\"", "--time-column"}},
      {"probe-column-absent",
       with([](LogOptions& o) { o.probe_columns = {"Core 9"}; }),
       {".csv:1: ", "no column is called \"Core 9\" (probe)", "\"Core 1\""}},
      {"probe-column-twice",
       with([](LogOptions& o) { o.probe_columns = {"Core"}; }),
       {".csv:1: ", "2 columns are called \"Core\" (probe)", "by its number, for example 2"}},
      {"probe-column-holds-text",
       with([](LogOptions& o) { o.probe_columns = {"State"}; }),
       {".csv:1:19: State: ", "holds no numbers: \"on\"", "a column of temperatures"}},
      {"pressure-without-basis",
       with([](LogOptions& o) { o.pressure_column = "Vessel pressure"; }),
       {".csv:1:19: Vessel pressure: ", "whether it is gauge or absolute", "(kPa gauge)"}},
      {"utf-8-said-to-be-utf-16",
       with([](LogOptions& o) { o.encoding = TextEncoding::utf16_le; }),
       {".csv: has no zero byte, so it is hardly UTF-16", "leave --encoding out"}},
      {"utf-16-said-to-be-utf-8",
       with([](LogOptions& o) { o.encoding = TextEncoding::utf8; }),
       {".csv: ", "bytes are zero, so it is not the text that --encoding says", "--encoding utf-16le"}},
      {"only-padding", {}, {".csv: is empty", "a header and rows"}},
      {"packed", {}, {".csv: is a packed file (gzip), not text", "unpack it"}},
      {"page-description", {}, {".csv: is a page description (PDF), not a table", "as CSV text"}},
      {"old-workbook", {}, {".csv: is a spreadsheet workbook, not text", "as CSV text in UTF-8"}},
      {"web-page", {}, {".csv: is a web page, not a table", "as CSV text"}},
      {"markup", {}, {".csv: is XML, not a table", "as CSV text"}},
      {"objects", {}, {".csv: is JSON, not a table", "as CSV text"}},
      {"blanks-and-long-names",
       {},
       {".csv:1: ", "the header's 7 words are not the names of 3 cells", "two blanks or more between names"}},
      {"blanks-without-unit", {}, {".csv:1:22: Core 1: " + no_unit, ".csv:1:30: Core 2: ", say_unit}},
      {"thousands-of-both-kinds",
       {},
       {".csv:3: 1 number with a decimal point (101,325.0) and 1 with a decimal comma (101.325,0)",
        "--decimal comma"}},
      {"thousands-or-decimals",
       {},
       {".csv:2: 2 numbers with a decimal point (96.1) and 2 with a decimal comma (101,325)",
        "--decimal comma"}},
      {"places-but-no-units", {}, {".csv:1:6: Ch 1 Bag 7: " + no_unit, "Ch 2 Bag 9: ", say_unit}},
      {"unit-row-leaves-one-out", {}, {".csv:1:13: Core 2: " + no_unit, "\"Core 2 (C)\"", say_unit}},
      {"unit-row-against-option",
       with([](LogOptions& o) { o.temperature_unit = ColumnUnit::degF; }),
       {".csv:1:6: Core 1: the header says \"°C\", but --unit F was given", "leave --unit out"}},
      {"header-unit-against-cells",
       {},
       {".csv:1:6: Core 1: the header says \"C\", but its cells say another unit: \"205.1 F\"",
        "mend the unit in the header"}},
      {"unit-column-against-option",
       with([](LogOptions& o) { o.temperature_unit = ColumnUnit::degC; }),
       {".csv:1:6: Temp 1: each row says it in \"Unit\", first \"F\", but --unit C was given",
        "leave --unit out"}},
      {"unit-columns-of-humidity-alone", {}, {".csv:1:6: Value: " + no_unit, say_unit}},
      {"units-without-values",
       {},
       {".csv:3: no row with a time and a reading was found", "2026-03-08 14:05:00,96.5"}},
      {"units-in-some-cells", {}, {".csv:1:6: Core 1: " + no_unit, say_unit}},
      {"unit-of-another-scale",
       {},
       {".csv:1: no column holds temperatures", "(the unit \"Ra\" is no temperature)"}},
      {"only-a-preamble", {}, {".csv:1: no line has a comma", "--delimiter"}},
      {"only-header-and-units", {}, {".csv:2: no row with a time and a reading", "--delimiter"}},
      {"only-a-summary",
       {},
       {".csv:1: no column holds times", "\"Channel\", \"Lowest\", \"Highest\"", "--time-column"}},
      {"delimiter-said-wrong",
       with([](LogOptions& o) { o.delimiter = '|'; }),
       {".csv:3: no row with a time and a reading", "say --delimiter"}},
      {"decimal-said-wrong",
       with([](LogOptions& o) { o.decimal_mark = ','; }),
       {".csv:2: --decimal comma was given, but numbers have a decimal point, first 96.1",
        "leave --decimal out"}},
      {"no-header-no-time",
       {},
       {".csv: no column holds dates and times, and there is no header", "--time-column 1"}},
      {"spanish-without-temperature",
       {},
       {".csv:1: no column holds temperatures", "\"Humedad\" (the name says \"humedad\")",
        "\"Batería\" (the name says \"bateria\")"}},
      {"spanish-pressure-without-basis",
       with([](LogOptions& o) { o.pressure_column = "Presión"; }),
       {".csv:1:21: Presión: ", "whether it is gauge or absolute", "(kPa gauge)"}},
      {"semicolons-wider-than-header",
       {},
       {".csv:2: most rows have more cells than the header: here 3, in line 1 2", "--delimiter"}},
      {"pressure-column-twice",
       with([](LogOptions& o) { o.pressure_column = "P"; }),
       {".csv:1: 2 columns are called \"P\" (--pressure-column)", "by its number, for example 3"}},
      {"pressure-column-in-amperes",
       with([](LogOptions& o) { o.pressure_column = "P"; }),
       {".csv:1:17: P: this pressure has no unit", "\"P (kPa gauge)\""}},
      {"named-date-column-absent",
       with([](LogOptions& o) {
         o.time_column = "Clock";
         o.date_column = "Day";
       }),
       {".csv:1: no column is called \"Day\" (--date-column)", "columns here are \"Date\", \"Clock\""}},
      {"dates-and-clocks-in-one-column",
       {},
       {".csv:1:1: Time: holds dates in some cells and clocks in others, first \"2026-03-08\"",
        "in a column each"}},
      {"preamble-of-two-units",
       {},
       {".csv:3:6: Core 1: lines before the header name two units",
        "line 1: Temperature unit: C; line 2: Display unit: F", "say --unit C or --unit F"}},
      {"unit-of-preamble-on-humidity-alone",
       {},
       {".csv:2: no column holds temperatures", "\"Humidity\" (the name says \"humidity\")"}},
  };
}

std::string message_for(const Broken& broken) {
  try {
    (void)ProbeLog::open(test::sample_file("broken/" + broken.file + ".csv"), broken.options);
  } catch (const UserError& error) {
    return error.what();
  }
  return "(no error)";
}

} // namespace

TEST_CASE("every broken log gets its own message with place, problem and remedy") {
  for (const Broken& broken : broken_logs()) {
    const std::string message = message_for(broken);
    for (const std::string& fragment : broken.fragments) {
      CAPTURE(broken.file);
      CAPTURE(message);
      CAPTURE(fragment);
      CHECK(message.find(fragment) != std::string::npos);
    }
  }
}

TEST_CASE("every file of broken/ stands in the table of messages") {
  std::set<std::string> told;
  for (const Broken& broken : broken_logs())
    told.insert(broken.file + ".csv");
  std::set<std::string> there;
  for (const auto& entry :
       std::filesystem::directory_iterator(std::string(COLDBAG_SOURCE_DIR) + "/tests/logs/broken"))
    there.insert(entry.path().filename().string());
  CHECK(told == there);
}

TEST_CASE("a file that is not there is no input") {
  CHECK_THROWS_AS((void)Source::file("no-such-log.csv"), UserError);
  try {
    (void)Source::file(std::string(COLDBAG_SOURCE_DIR) + "/tests/logs");
    CHECK(false);
  } catch (const UserError& error) {
    CHECK(error.trouble() == Trouble::no_input);
  }
}

TEST_CASE("a line over 1 MiB is the user's to mend") {
  const std::string head = "Time,Core 1 (C)\n2026-03-08 14:00:00,96.1\n";
  for (const std::size_t before : {std::size_t{0}, std::size_t{300'000}}) {
    std::string log = head;
    while (log.size() < before)
      log += "2026-03-08 14:00:00,96.1\n";
    const auto line = std::to_string(std::count(log.begin(), log.end(), '\n') + 1);
    log += std::string((1 << 20) + 1, 'x') + "\n";
    CAPTURE(before);
    std::string message;
    try {
      const ProbeLog opened = test::open_text(log);
      (void)test::all_rows(opened);
    } catch (const UserError& error) {
      message = error.what();
    }
    CHECK(message.find("run.csv:" + line + ": this line is longer than 1 MiB") != std::string::npos);
  }
}

} // namespace coldbag
