#include "clock/instant.h"

#include "errors/our_fault.h"

#include <doctest/doctest.h>

#include <chrono>
#include <random>
#include <string>

using namespace coldbag;

namespace {

constexpr std::int64_t us_per_second = 1'000'000;

std::int64_t unix_s(const IsoTime& time) {
  return time.wall.us / us_per_second;
}

} // namespace

TEST_CASE("seconds since 1970 agree with known ones") {
  // From GNU date: date -u -d '2026-03-08 14:05:09' +%s, and likewise for the others.
  CHECK(unix_s(parse_iso_time("2026-03-08T14:05:09").value()) == 1772978709);
  CHECK(unix_s(parse_iso_time("2000-02-29").value()) == 951782400);
  CHECK(unix_s(parse_iso_time("1969-12-31T23:59:59").value()) == -1);
  CHECK(unix_s(parse_iso_time("2100-03-01T00:00").value()) == 4107542400);
}

TEST_CASE("every form of the same moment reads alike") {
  const WallTime wall = parse_iso_time("2026-03-08T14:05:09").value().wall;
  for (const std::string_view text :
       {"2026-03-08t14:05:09", "2026-03-08 14:05:09", "20260308T140509", "20260308 140509",
        "2026-03-08T14:05:09.0", "2026-03-08T14:05:09,000000000", "20260308T140509.000"}) {
    CAPTURE(text);
    const auto time = parse_iso_time(text);
    REQUIRE(time);
    CHECK(time->wall == wall);
    CHECK(time->has_clock);
    CHECK_FALSE(time->offset_s);
  }
}

TEST_CASE("a date alone has no clock and starts its day") {
  for (const std::string_view text : {"2026-03-08", "20260308"}) {
    CAPTURE(text);
    const auto time = parse_iso_time(text);
    REQUIRE(time);
    CHECK_FALSE(time->has_clock);
    CHECK(print_iso_wall(time->wall) == "2026-03-08T00:00:00");
  }
}

TEST_CASE("seconds may be left out") {
  CHECK(print_iso_wall(parse_iso_time("2026-03-08 14:05").value().wall) == "2026-03-08T14:05:00");
  CHECK(print_iso_wall(parse_iso_time("20260308T1405").value().wall) == "2026-03-08T14:05:00");
}

TEST_CASE("a fraction is rounded to microseconds") {
  const auto us = [](std::string_view text) { return parse_iso_time(text).value().wall.us % us_per_second; };
  CHECK(us("2026-03-08T14:05:09.25Z") == 250'000);
  CHECK(us("2026-03-08T14:05:09,000001") == 1);
  CHECK(us("2026-03-08T14:05:09.0000004") == 0);
  CHECK(us("2026-03-08T14:05:09.000000500") == 1);
  CHECK(print_iso_wall(parse_iso_time("2026-12-31T23:59:59.9999999").value().wall) == "2027-01-01T00:00:00");
}

TEST_CASE("the zone that is written is handed on") {
  const auto offset_s = [](std::string_view text) { return parse_iso_time(text).value().offset_s; };
  CHECK(offset_s("2026-03-08T14:05:09Z") == 0);
  CHECK(offset_s("2026-03-08T14:05:09z") == 0);
  CHECK(offset_s("2026-03-08T14:05+05:30") == 19'800);
  CHECK(offset_s("2026-03-08T14:05:09-0300") == -10'800);
  CHECK(offset_s("2026-03-08 14:05:09.5+01") == 3'600);
  CHECK(offset_s("20260308T140509+0100") == 3'600);
  CHECK(offset_s("2026-03-08T14:05:09-00:45") == -2'700);
}

TEST_CASE("what is no ISO time is refused") {
  for (const std::string_view text : {"",
                                      " ",
                                      "14:05",
                                      "2026",
                                      "2026-03",
                                      "2026-3-8",
                                      "26-03-08",
                                      "2026/03/08",
                                      "08.03.2026",
                                      "2026-02-30",
                                      "2025-02-29",
                                      "2026-13-01",
                                      "2026-00-10",
                                      "2026-01-00",
                                      "2026-03-08T",
                                      "2026-03-08T14",
                                      "2026-03-08T1405",
                                      "20260308T14:05",
                                      "2026-0308",
                                      "202603-08",
                                      "2026-03-08T24:00:01",
                                      "2026-03-08T24:01",
                                      "2026-03-08T25:00",
                                      "2026-03-08T14:60",
                                      "2026-03-08T14:05:61",
                                      "2026-03-08T14:5:09",
                                      "2026-03-08T14:05:9",
                                      "2026-03-08T14:05:09.",
                                      "2026-03-08T14:05:09.1234567890",
                                      "2026-03-08T14:05.5",
                                      "2026-03-08  14:05",
                                      "2026-03-08_14:05",
                                      " 2026-03-08T14:05",
                                      "2026-03-08T14:05 ",
                                      "2026-03-08T14:05:09 Z",
                                      "2026-03-08T14:05:09UTC",
                                      "2026-03-08T14:05:09+",
                                      "2026-03-08T14:05:09+5",
                                      "2026-03-08T14:05:09+05:",
                                      "2026-03-08T14:05:09+05:3",
                                      "2026-03-08T14:05:09+05:60",
                                      "2026-03-08T14:05:09+24:00",
                                      "2026-03-08T14:05:09+05:30x",
                                      "2026-03-08Z",
                                      "-026-03-08",
                                      "+2026-03-08",
                                      "2026-03-08T-1:05",
                                      "2026-03-08T14:05:09.2x"}) {
    CAPTURE(text);
    CHECK_FALSE(parse_iso_time(text));
  }
}

TEST_CASE("the end of a day is the next day's midnight, and second 60 the next minute") {
  CHECK(print_iso_wall(parse_iso_time("2026-03-31T24:00:00")->wall) == "2026-04-01T00:00:00");
  CHECK(print_iso_wall(parse_iso_time("20260331T2400")->wall) == "2026-04-01T00:00:00");
  CHECK(print_iso_wall(parse_iso_time("2026-12-31T23:59:60Z")->wall) == "2027-01-01T00:00:00");
  CHECK(parse_iso_clock_us("24:00") == 86'400 * us_per_second);
  CHECK(parse_iso_clock_us("14:05:60") == 50'760 * us_per_second);
}

TEST_CASE("a clock alone is read in its extended form") {
  CHECK(parse_iso_clock_us("00:00") == 0);
  CHECK(parse_iso_clock_us("14:05") == 50'700 * us_per_second);
  CHECK(parse_iso_clock_us("14:05:09.25") == 50'709'250'000);
  for (const std::string_view text : {"", "14", "1405", "24:01", "14:05:61", "14:05Z", "4:05", "14:05 "}) {
    CAPTURE(text);
    CHECK_FALSE(parse_iso_clock_us(text));
  }
}

TEST_CASE("parts that no calendar has are no wall time") {
  CHECK(wall_time({2028, 2, 29, 0, 0, 0}));
  CHECK_FALSE(wall_time({2026, 2, 29, 0, 0, 0}));
  CHECK_FALSE(wall_time({1900, 2, 29, 0, 0, 0}));
  CHECK_FALSE(wall_time({2026, 4, 31, 0, 0, 0}));
  CHECK_FALSE(wall_time({2026, 0, 1, 0, 0, 0}));
  CHECK_FALSE(wall_time({2026, -1, 1, 0, 0, 0}));
  CHECK_FALSE(wall_time({2026, 1, -1, 0, 0, 0}));
  CHECK_FALSE(wall_time({2026, 1, 1, 24, 0, 0}));
  CHECK_FALSE(wall_time({2026, 1, 1, 0, 60, 0}));
  CHECK_FALSE(wall_time({2026, 1, 1, 0, 0, 60 * us_per_second}));
  CHECK_FALSE(wall_time({40'000, 1, 1, 0, 0, 0}));
}

TEST_CASE("wall times go to parts and to text and come back") {
  std::mt19937_64 random{20260308};
  std::uniform_int_distribution<std::int64_t> any_us{-60'000'000'000'000'000, 250'000'000'000'000'000};
  for (int i = 0; i < 20'000; ++i) {
    const WallTime wall{any_us(random)};
    CAPTURE(wall.us);
    REQUIRE(wall_time(calendar_time(wall)) == wall);
    const auto read = parse_iso_time(print_iso_wall(wall));
    REQUIRE(read);
    REQUIRE(read->wall == wall);
  }
}

TEST_CASE("only as many digits of a fraction are printed as there are") {
  const Instant instant{std::chrono::microseconds{1'772'978'709'000'000}};
  CHECK(print_iso_utc(instant) == "2026-03-08T14:05:09Z");
  CHECK(print_iso_utc(instant + std::chrono::milliseconds{250}) == "2026-03-08T14:05:09.25Z");
  CHECK(print_iso_utc(instant + std::chrono::microseconds{1}) == "2026-03-08T14:05:09.000001Z");
}

TEST_CASE("seconds between instants keep the microsecond") {
  const Instant from{std::chrono::microseconds{1'772'978'709'000'000}};
  CHECK(seconds_between(from, from + std::chrono::microseconds{1}) == 1e-6);
  CHECK(seconds_between(from + std::chrono::hours{12}, from) == -43'200.0);
  std::mt19937_64 random{7};
  std::uniform_int_distribution<std::int64_t> any_us{-1'000'000'000'000'000, 1'000'000'000'000'000};
  for (int i = 0; i < 10'000; ++i) {
    const Instant to = from + std::chrono::microseconds{any_us(random)};
    REQUIRE(plus_seconds(from, seconds_between(from, to)) == to);
  }
}

TEST_CASE("a span that is no number is our fault") {
  CHECK_THROWS_AS((void)plus_seconds(Instant{}, std::numeric_limits<double>::quiet_NaN()), OurFault);
  CHECK_THROWS_AS((void)plus_seconds(Instant{}, 1e12), OurFault);
}
