// Every file of broken_times/ leaves its times open or unreadable, and gets the message that says what
// settles it.
#include "logs/samples.h"

#include <doctest/doctest.h>

#include <filesystem>
#include <set>
#include <string>
#include <vector>

namespace coldbag {
namespace {

struct Broken {
  std::string file;
  std::vector<std::string> fragments; ///< of the message: place, problem, remedy
  LogOptions options = {};
};

LogOptions with(void (*set)(LogOptions&)) {
  LogOptions options;
  set(options);
  return options;
}

std::vector<Broken> broken_logs() {
  const std::string may_have = "may have the day or the month first";
  const std::string say_order = "--date-order day-first or --date-order month-first";
  const std::string no_time = "is no time this program can read";
  return {
      {"slashed-dates-of-one-day", {".csv:2: Time: \"08/03/2026 14:00:00\" " + may_have, say_order}},
      {"dotted-dates-of-one-day", {".csv:2: Time: \"08.03.2026 14:00:00\" " + may_have, say_order}},
      {"dates-without-seconds-of-one-day", {".csv:2: When: \"3/8/2026 14:00\" " + may_have, say_order}},
      {"two-digit-years-of-one-day",
       {".csv:2: Time: \"08/03/26 14:00\" may have the day, the month or the year first",
        "--date-order day-first, --date-order month-first or --date-order year-first"}},
      {"two-digit-years-that-may-stand-first",
       {".csv:2: Time: \"26/03/04 14:00\" may have the day or the year first",
        "--date-order day-first or --date-order year-first"}},
      {"two-digit-years-of-one-number",
       {".csv:2: Time: \"05/05/05 14:00\" may have the day, the month or the year first"}},
      {"some-times-with-a-zone",
       {".csv:4: Time: \"2026-03-08T14:02:00\" says no zone, but the first rows do",
        "write the zone in every row or in none"}},
      {"some-times-without-a-zone",
       {".csv:3: Time: \"8 Mar 2026 14:01 +01:00\" says a zone, but the first rows do not",
        "write the zone in every row or in none"}},
      {"slashed-dates-that-jump", {".csv:2: Time: ", "jump about, read day first or month first", say_order}},
      {"months-in-another-language",
       {".csv:2: Time: \"8 helmikuuta 2026 14:00\" " + no_time, "\"helmikuuta\" is not known as a month",
        "write for example 2026-03-08 14:05:00", "English, Spanish, German"}},
      {"letters-for-a-zone",
       {".csv:2: Time: \"08-Mar-2026 14:00:00 XST\" " + no_time, "a zone as Z or +02:00"}},
      {"clock-with-points-alone",
       {".csv:2: Time: \"18.30.00\" may be a clock or a date",
        "write clocks with colons, for example 18:30:00"}},
      {"clock-of-two-parts-with-points",
       {".csv:1:1: Time: elapsed time has no unit", "a clock is written with a colon, for example 18:30"}},
      {"hour-13-with-pm",
       {".csv:2: Time: \"08-Mar-2026 13:00 PM\" " + no_time, "for example 2026-03-08 14:05:00"}},
      {"thirtieth-of-february", {".csv:2: Time: \"30/02/2026 14:00\" " + no_time, "2026-03-08 14:05:00"}},
      {"clock-of-two-parts",
       {".csv:2: Time: \"14:00\" has no date", "--time-form clock", "--date 2026-03-08", "--elapsed-unit"}},
      {"clock-from-zero",
       {".csv:2: Time: \"00:00:00\" has no date", "--time-form clock", "--time-form elapsed"}},
      {"clock-over-23-of-two-parts",
       {".csv:2: Time: \"5:00\" is no time of day in every row", "--elapsed-unit h (h:mm) or min (m:ss)"}},
      {"dates-alone", {".csv:1: ", "no column holds times", "--time-column 1"}},
      {"small-numbers-for-times", {".csv:1:1: Time: elapsed time has no unit", "--elapsed-unit s, min or h"}},
      {"two-columns-of-dates-and-times",
       {".csv:1:1: Logged: times may be in \"Logged\", \"Sent\"", "--time-column \"Logged\""}},
      {"form-given-against-the-times",
       {".csv:1:1: Time: its times are not of the form given with --time-form", "leave --time-form out"},
       with([](LogOptions& o) { o.time_form = TimeRule::Form::clock; })},
      {"epoch-form-of-small-numbers",
       {".csv:2: no row has a time that can be read", "--time-column 1"},
       with([](LogOptions& o) {
         o.time_form = TimeRule::Form::epoch;
         o.epoch_unit = ColumnUnit::seconds;
       })},
      {"spreadsheet-days-too-large",
       {".csv:2: no row has a time that can be read", "--time-column 1"},
       with([](LogOptions& o) { o.time_form = TimeRule::Form::serial_1904; })},
      {"day-first-given-against-the-dates",
       {".csv:2: no row has a time that can be read", "--time-column 1"},
       with([](LogOptions& o) { o.date_order = DateOrder::day_first; })},
      {"missing-hour-alone",
       {".csv:2: no row has a time that can be read", "--time-column 1"},
       with([](LogOptions& o) { o.zone = Zone::find("America/New_York"); })},
  };
}

std::string message_for(const Broken& broken) {
  try {
    (void)ProbeLog::open(test::sample_file("broken_times/" + broken.file + ".csv"), broken.options);
  } catch (const UserError& error) {
    return error.what();
  }
  return "(no error)";
}

} // namespace

TEST_CASE("every log with broken times gets its own message with place, problem and remedy") {
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

TEST_CASE("every file of broken_times/ stands in the table of messages") {
  std::set<std::string> told;
  for (const Broken& broken : broken_logs())
    told.insert(broken.file + ".csv");
  std::set<std::string> there;
  for (const auto& entry :
       std::filesystem::directory_iterator(std::string(COLDBAG_SOURCE_DIR) + "/tests/logs/broken_times"))
    there.insert(entry.path().filename().string());
  CHECK(told == there);
}

} // namespace coldbag
