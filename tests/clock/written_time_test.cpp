// Dates and clocks as people write them; each stands for the same moment as its ISO form.
#include "clock/written_time.h"

#include <doctest/doctest.h>

#include <string>
#include <utility>
#include <vector>

namespace coldbag {
namespace {

/// ISO form of what was read, "?" where the order is open, "" where nothing was read.
std::string read_as(std::string_view text, std::optional<DateOrder> order = std::nullopt) {
  const auto time = read_written_time(text);
  if (!time) return "";
  if (!time->date) return print_iso_wall({time->clock_us.value_or(0)}).substr(10);
  if (!time->date->order && !order) return "?";
  const auto midnight = midnight_of(*time->date, order.value_or(DateOrder::day_first));
  if (!midnight) return "no day";
  const std::string iso = print_iso_wall({midnight->us + time->clock_us.value_or(0)});
  return time->clock_us ? iso : iso.substr(0, 10);
}

} // namespace

TEST_CASE("a month by its name settles the order, whatever the language") {
  for (const char* text : {"08-Mar-2026",        "8 marzo 2026",
                           "8 de marzo de 2026", "8 de Marzo del 2026",
                           "Mar 8, 2026",        "March 8 2026",
                           "8-Mar-26",           "2026-Mar-08",
                           "Sun 8 March 2026",   "domingo, 8 de marzo de 2026",
                           "8 mar. 2026",        "Mar-08-2026",
                           "MAR 8 26",           "8. März 2026",
                           "So., 8. Mär. 2026",  "dim. 8 mars 2026",
                           "8 de março de 2026", "8 mrt. 2026",
                           "8 marca 2026",       "8. marts 2026",
                           "08-MÄR-26",          "søn. 8. mars 2026"}) {
    CAPTURE(text);
    CHECK(read_as(text) == "2026-03-08");
  }
  const std::vector<std::pair<const char*, const char*>> months{
      {"1 ene 2026", "2026-01-01"},
      {"1 Jan 2026", "2026-01-01"},
      {"1 feb 2026", "2026-02-01"},
      {"1 abr 2026", "2026-04-01"},
      {"1 Apr 2026", "2026-04-01"},
      {"1 mayo 2026", "2026-05-01"},
      {"1 jun 2026", "2026-06-01"},
      {"1 julio 2026", "2026-07-01"},
      {"1 ago 2026", "2026-08-01"},
      {"1 Aug 2026", "2026-08-01"},
      {"1 sept 2026", "2026-09-01"},
      {"1 set 2026", "2026-09-01"},
      {"1 oct 2026", "2026-10-01"},
      {"1 nov 2026", "2026-11-01"},
      {"1 dic 2026", "2026-12-01"},
      {"1 Dec 2026", "2026-12-01"},
      {"mar. 3 mar 2026", "2026-03-03"},
      {"1er févr. 2026", "2026-02-01"},
      {"1 août 2026", "2026-08-01"},
      {"12 déc. 2026", "2026-12-12"},
      {"1\u00BA de maio de 2026", "2026-05-01"},
      {"3 maj 2026", "2026-05-03"},
      {"segunda-feira, 9 de março de 2026", "2026-03-09"}};
  for (const auto& [text, iso] : months) {
    CAPTURE(text);
    CHECK(read_as(text) == iso);
  }
}

TEST_CASE("a word that no language here has for a month is told") {
  CHECK(unknown_month_in("8 helmikuuta 2026") == "helmikuuta");
  CHECK(unknown_month_in("8 jui 2026 14:00") == "jui");
  CHECK(unknown_month_in("8 mars 2026").empty());
  CHECK(unknown_month_in("8 Mar 2026 14:05 EST").empty());
}

TEST_CASE("three numbers leave day and month open, and a part over twelve does not close it alone") {
  for (const char* text : {"08/03/2026", "8-3-2026", "08.03.2026", "13/03/2026", "08/03/26"}) {
    CAPTURE(text);
    CHECK(read_as(text) == "?");
  }
  CHECK(read_as("08/03/2026", DateOrder::day_first) == "2026-03-08");
  CHECK(read_as("08/03/2026", DateOrder::month_first) == "2026-08-03");
  CHECK(read_as("13/03/2026", DateOrder::month_first) == "no day");
  CHECK(read_as("26-03-08", DateOrder::year_first) == "2026-03-08");
  CHECK(read_as("2026/3/8") == "2026-03-08");
}

TEST_CASE("two digits of a year turn at 69") {
  CHECK(full_year(68) == 2068);
  CHECK(full_year(69) == 1969);
  CHECK(read_as("08/03/68", DateOrder::day_first) == "2068-03-08");
  CHECK(read_as("08/03/69", DateOrder::day_first) == "1969-03-08");
}

TEST_CASE("clocks of twelve hours, with every way to write the half of the day") {
  for (const char* text : {"2:05 PM", "02:05pm", "2:05 p.m.", "2:05 p. m.", "2:05:00 P.M.",
                           "2:05\u00A0p.\u00A0m.", "2:05\u202Fp.\u202Fm."}) {
    CAPTURE(text);
    CHECK(read_as(text) == "T14:05:00");
  }
  CHECK(read_as("12:00 AM") == "T00:00:00");
  CHECK(read_as("12:00 a. m.") == "T00:00:00");
  CHECK(read_as("12:00 PM") == "T12:00:00");
  CHECK(read_as("11:59 pm") == "T23:59:00");
  CHECK(read_as("13:00 PM").empty());
  CHECK(read_as("0:30 AM").empty());
}

TEST_CASE("a clock with points or an h is read behind its date, and where it is known to be a clock") {
  for (const char* text :
       {"26.03.2026 18.30.00", "26.03.2026 18.30", "26/03/2026 18h30", "26/03/2026 18 h 30",
        "26/03/2026 18h30m00s", "26 mars 2026 18h30:00", "2026-03-26 18.30", "26.3.2026 6.30 pm"}) {
    CAPTURE(text);
    CHECK(read_as(text, DateOrder::day_first) == "2026-03-26T18:30:00");
  }
  CHECK(read_as("18h30") == "T18:30:00");
  for (const char* text : {"18.30", "18.30.00", "18h30", "18:30:00", "18:30"}) {
    CAPTURE(text);
    CHECK(read_written_clock(text)->clock_us == 66'600'000'000);
  }
  CHECK_FALSE(read_written_clock("26.03.2026 18.30"));
  CHECK_FALSE(read_written_clock("96.5"));
  CHECK_FALSE(read_written_clock("96.50"));
}

TEST_CASE("dates of asctime and of mail headers are read") {
  CHECK(read_as("Thu Mar 26 18:30:00 2026") == "2026-03-26T18:30:00");
  CHECK(read_as("Sun Mar  8 18:30:00 2026") == "2026-03-08T18:30:00");
  CHECK(read_as("Thu Mar 26 18:30:00 UTC 2026") == "2026-03-26T18:30:00");
  CHECK(read_as("Thu, 26 Mar 2026 18:30:00 +0100") == "2026-03-26T18:30:00");
  CHECK(read_written_time("Thu, 26 Mar 2026 18:30:00 +0100")->offset_s == 3600);
  CHECK(read_written_time("Thu Mar 26 18:30:00 UTC 2026")->offset_s == 0);
}

TEST_CASE("the end of a day and second 60 are the next midnight and the next minute") {
  CHECK(read_as("26 Mar 2026 24:00") == "2026-03-27T00:00:00");
  CHECK(read_as("26 Mar 2026 23:59:60") == "2026-03-27T00:00:00");
  CHECK(read_as("26 Mar 2026 18:29:60") == "2026-03-26T18:30:00");
}

TEST_CASE("fractions of a second have a point or a comma") {
  CHECK(read_as("8 Mar 2026 14:05:09.25") == "2026-03-08T14:05:09.25");
  CHECK(read_as("8 Mar 2026 2:05:09,250 PM") == "2026-03-08T14:05:09.25");
}

TEST_CASE("a zone behind a written time is read as its offset") {
  CHECK(read_written_time("8 Mar 2026 14:05 +02:00")->offset_s == 7200);
  CHECK(read_written_time("8 Mar 2026 2:05 PM UTC-5")->offset_s == -18000);
  CHECK(read_written_time("8 Mar 2026 14:05 GMT")->offset_s == 0);
  CHECK_FALSE(read_written_time("8 Mar 2026 14:05")->offset_s);
}

TEST_CASE("what is no time is not read") {
  for (const char* text : {"",
                           "96.1",
                           "1.234.567",
                           "32/13/2026",
                           "8 helmikuuta 2026",
                           "8 Mar",
                           "14:60",
                           "24:01",
                           "25:00",
                           "8 Mar 2026 14:05:61",
                           "18.30.00",
                           "18.30",
                           "18h3",
                           "18h",
                           "Sun Mar 8 14:05:09 26",
                           "Mar 14:05:09 2026",
                           "8 Mar 2026 12:00 24:00",
                           "8 Mar 2026 XST",
                           "8 Mar 2026 14:05 EST",
                           "14:05:09 96.1",
                           "08/03-2026",
                           "08/03/126",
                           "Mar Mar 2026",
                           "8//3/2026"}) {
    CAPTURE(text);
    CHECK(read_as(text).empty());
  }
}

} // namespace coldbag
