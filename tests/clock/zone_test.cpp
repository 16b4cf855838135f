#include "clock/zone.h"

#include "errors/our_fault.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <random>
#include <string>

using namespace coldbag;

namespace {

Zone zone_named(std::string_view name) {
  const auto zone = Zone::find(name);
  REQUIRE_MESSAGE(zone, std::string{name});
  return *zone;
}

WallTime wall(std::string_view text) {
  return parse_iso_time(text).value().wall;
}

/// The instant of a text in UTC.
Instant utc(std::string_view text) {
  return Instant{std::chrono::microseconds{wall(text).us}};
}

struct Change {
  std::string_view zone;
  std::string_view wall;
  WallMeaning::Kind kind;
  std::string_view first_utc;
  std::string_view second_utc;
};

using Kind = WallMeaning::Kind;
// The rules: Directive 2000/84/EC (last Sunday of March and October, 01:00 UTC) and 15 U.S.C. 260a (second
// Sunday of March, first Sunday of November, 02:00 on the wall). Both from memory; instants worked out by
// hand.
constexpr std::array changes{
    Change{"Europe/Berlin", "2026-03-29T01:59:59", Kind::one, "2026-03-29T00:59:59", "2026-03-29T00:59:59"},
    Change{"Europe/Berlin", "2026-03-29T02:00", Kind::missing, "2026-03-29T01:00", "2026-03-29T01:00"},
    Change{"Europe/Berlin", "2026-03-29T02:59:59", Kind::missing, "2026-03-29T01:00", "2026-03-29T01:00"},
    Change{"Europe/Berlin", "2026-03-29T03:00", Kind::one, "2026-03-29T01:00", "2026-03-29T01:00"},
    Change{"Europe/Berlin", "2026-10-25T01:59:59", Kind::one, "2026-10-24T23:59:59", "2026-10-24T23:59:59"},
    Change{"Europe/Berlin", "2026-10-25T02:00", Kind::twofold, "2026-10-25T00:00", "2026-10-25T01:00"},
    Change{"Europe/Berlin", "2026-10-25T02:30", Kind::twofold, "2026-10-25T00:30", "2026-10-25T01:30"},
    Change{"Europe/Berlin", "2026-10-25T03:00", Kind::one, "2026-10-25T02:00", "2026-10-25T02:00"},
    Change{"America/New_York", "2026-03-08T01:59:59", Kind::one, "2026-03-08T06:59:59",
           "2026-03-08T06:59:59"},
    Change{"America/New_York", "2026-03-08T02:30", Kind::missing, "2026-03-08T07:00", "2026-03-08T07:00"},
    Change{"America/New_York", "2026-03-08T03:00", Kind::one, "2026-03-08T07:00", "2026-03-08T07:00"},
    Change{"America/New_York", "2026-11-01T00:59:59", Kind::one, "2026-11-01T04:59:59",
           "2026-11-01T04:59:59"},
    Change{"America/New_York", "2026-11-01T01:00", Kind::twofold, "2026-11-01T05:00", "2026-11-01T06:00"},
    Change{"America/New_York", "2026-11-01T01:59:59", Kind::twofold, "2026-11-01T05:59:59",
           "2026-11-01T06:59:59"},
    Change{"America/New_York", "2026-11-01T02:00", Kind::one, "2026-11-01T07:00", "2026-11-01T07:00"},
    Change{"America/Bogota", "2026-07-01T12:00", Kind::one, "2026-07-01T17:00", "2026-07-01T17:00"},
    Change{"+05:30", "2026-03-29T02:30", Kind::one, "2026-03-28T21:00", "2026-03-28T21:00"},
    Change{"UTC", "2026-03-29T02:30", Kind::one, "2026-03-29T02:30", "2026-03-29T02:30"},
};

} // namespace

TEST_CASE("the hour that is missing and the hour that happens twice are named") {
  for (const Change& change : changes) {
    CAPTURE(change.zone);
    CAPTURE(change.wall);
    const WallMeaning meaning = instants_of(zone_named(change.zone), wall(change.wall));
    CHECK(meaning.kind == change.kind);
    CHECK(print_iso_utc(meaning.first) == print_iso_utc(utc(change.first_utc)));
    CHECK(print_iso_utc(meaning.second) == print_iso_utc(utc(change.second_utc)));
  }
}

TEST_CASE("an instant goes to the wall and comes back in every zone") {
  for (const std::string_view name : {"Europe/Berlin", "America/New_York", "Asia/Kolkata",
                                      "Australia/Lord_Howe", "America/Bogota", "UTC", "-03:00", "+05:45"}) {
    const Zone zone = zone_named(name);
    std::mt19937_64 random{42};
    // 1971 to 2036: the years for which every database holds each change.
    std::uniform_int_distribution<std::int64_t> any_us{31'536'000'000'000, 2'082'758'400'000'000};
    for (int i = 0; i < 5'000; ++i) {
      const Instant instant{std::chrono::microseconds{any_us(random)}};
      const WallMeaning meaning = instants_of(zone, wall_time_of(zone, instant));
      CAPTURE(name);
      CAPTURE(print_iso_utc(instant));
      REQUIRE(meaning.kind != Kind::missing);
      REQUIRE((meaning.first == instant || meaning.second == instant));
      REQUIRE((meaning.kind == Kind::twofold) == (meaning.first < meaning.second));
      const auto read = parse_iso_time(print_iso_local(zone, instant));
      REQUIRE(read);
      REQUIRE(Instant{std::chrono::microseconds{read->wall.us} -
                      std::chrono::seconds{read->offset_s.value()}} == instant);
    }
  }
}

TEST_CASE("a local time is printed with its offset") {
  const Instant instant = utc("2026-03-08T19:05:09");
  CHECK(print_iso_local(zone_named("America/Bogota"), instant) == "2026-03-08T14:05:09-05:00");
  CHECK(print_iso_local(zone_named("Asia/Kolkata"), instant) == "2026-03-09T00:35:09+05:30");
  CHECK(print_iso_local(Zone::utc(), instant) == "2026-03-08T19:05:09+00:00");
  CHECK(offset_s_at(zone_named("America/New_York"), utc("2026-03-08T06:59:59")) == -18'000);
  CHECK(offset_s_at(zone_named("America/New_York"), utc("2026-03-08T07:00:00")) == -14'400);
}

TEST_CASE("an offset is a zone whichever way it is written") {
  for (const std::string_view name : {"+05:30", "+0530"})
    CHECK(zone_named(name) == Zone::fixed(19'800));
  CHECK(zone_named("-03") == Zone::fixed(-10'800));
  CHECK(zone_named("-03").name() == "-03:00");
  CHECK(zone_named("+00:00") == Zone::utc());
  CHECK(zone_named("UTC") == Zone::utc());
  CHECK(Zone::utc().name() == "UTC");
  CHECK_THROWS_AS((void)Zone::fixed(86'400), OurFault);
}

TEST_CASE("a name that is no zone is refused") {
  for (const std::string_view name : {"",
                                      " ",
                                      "Berlin",
                                      "europe/berlin",
                                      "Europe/Berln",
                                      "+25:00",
                                      "+5",
                                      "05:30",
                                      "+05:30 ",
                                      "Europe/",
                                      "Europe",
                                      "../etc/passwd",
                                      "/etc/passwd",
                                      "posix/Europe/Berlin",
                                      "right/Europe/Berlin",
                                      "localtime",
                                      "posixrules",
                                      "zone.tab",
                                      "tzdata.zi",
                                      "UTC+1"}) {
    CAPTURE(name);
    CHECK_FALSE(Zone::find(name));
  }
}

TEST_CASE("names that look like the one asked for are offered") {
  const auto first_like = [](std::string_view name) {
    const auto names = zones_like(name);
    return names.empty() ? std::string{} : names.front();
  };
  CHECK(first_like("Berlin") == "Europe/Berlin");
  CHECK(first_like("europe/berlin") == "Europe/Berlin");
  CHECK(first_like("Europe/Berln") == "Europe/Berlin");
  CHECK(first_like("New York") == "America/New_York");
  CHECK(first_like("America/Bogotá").starts_with("America/Bogota"));
  CHECK(zones_like("Qwertzuiop").empty());
  CHECK(zones_like("").empty());
  CHECK(zones_like(std::string(10'000, 'x')).empty());
  CHECK(zones_like("Asia/Kolkatta").size() <= 3);
}

TEST_CASE("every name that is offered can be found") {
  for (const std::string_view wanted :
       {"Berlin", "Europe/Pari", "Indiana", "Local", "right/UTC", "America/Lima"}) {
    for (const std::string& name : zones_like(wanted)) {
      CAPTURE(name);
      CHECK(Zone::find(name));
    }
  }
}
