// Order of rows and what a clock did: each event once with it and once just short of it, and none of it
// credit.
#include "logs/samples.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cstdlib>
#include <numeric>
#include <random>
#include <string>
#include <vector>

namespace coldbag {
namespace {

constexpr std::int64_t us = 1'000'000;

std::int64_t wall_us(const std::string& iso) {
  return parse_iso_time(iso).value().wall.us;
}

/// A row as its text, one value that tells it from the others.
std::string row_at(std::int64_t wall, int value) {
  return print_iso_wall({wall}) + "," + std::to_string(value) + ".5\n";
}

struct Made {
  std::vector<std::int64_t> wall;
  void add(const std::string& from, int count, std::int64_t step_s = 60) {
    for (int i = 0; i < count; ++i)
      wall.push_back(wall_us(from) + i * step_s * us);
  }
  void go_on(int count, std::int64_t step_s = 60) {
    for (int i = 0; i < count; ++i)
      wall.push_back(wall.back() + step_s * us);
  }
  /// Goes on after a clock that was set.
  void jump(std::int64_t jump_s, int count, std::int64_t step_s = 60) {
    wall.push_back(wall.back() + (jump_s + step_s) * us);
    go_on(count - 1, step_s);
  }
  [[nodiscard]] std::string text() const {
    std::string out = "Time,Core 1 (C)\n";
    int value = 0;
    for (const std::int64_t at : wall)
      out += row_at(at, value++ % 100 + 1);
    return out;
  }
  [[nodiscard]] ProbeLog log(const LogOptions& options = {}) const {
    return test::open_text(text(), options);
  }
};

std::vector<std::string> kinds(const ProbeLog& log) {
  std::vector<std::string> found;
  for (const ClockEvent& event : log.survey().clock_events)
    found.push_back(event.kind);
  return found;
}

using Kinds = std::vector<std::string>;

/// Times of rows that a break stands before.
std::vector<double> breaks(const test::AllRows& all) {
  std::vector<double> found;
  for (std::size_t row = 0; row < all.rows.break_before.size(); ++row)
    if (all.rows.break_before[row] != 0) found.push_back(all.rows.time_s[row]);
  return found;
}

bool rises(const std::vector<double>& time_s) {
  return std::adjacent_find(time_s.begin(), time_s.end(), [](double a, double b) { return a >= b; }) ==
         time_s.end();
}

LogOptions in_zone(const char* name) {
  LogOptions options;
  options.zone = Zone::find(name);
  return options;
}

Made plain(int rows = 60) {
  Made made;
  made.add("2026-03-04T18:00:00", rows);
  return made;
}

/// How many cases a seeded test tries.
int cases() {
  const char* asked = std::getenv("COLDBAG_LONG");
  return asked != nullptr && std::string(asked) == "1" ? 400 : 40;
}

} // namespace

TEST_CASE("a plain log has no clock events and no breaks") {
  const ProbeLog log = plain().log();
  CHECK(kinds(log).empty());
  CHECK(test::all_rows(log).rows.break_before.empty());
}

TEST_CASE("a clock set back is told, no minute counts twice, and a break stands where it ends") {
  Made made = plain();
  made.jump(-600, 60); // 18:59 is followed by 18:50
  const ProbeLog log = made.log();
  REQUIRE(kinds(log) == Kinds{"clock_set_back"});
  const ClockEvent& event = log.survey().clock_events[0];
  CHECK(event.jump_s == -600);
  CHECK(event.at == Place{"run.csv", 62, 0, ""});
  CHECK(event.effect == "stretch_not_credited");
  const test::AllRows all = test::all_rows(log);
  CHECK(rises(all.rows.time_s));
  CHECK(all.rows.time_s.size() == 110);
  CHECK(test::tally_of(all.tally, "time_goes_back").count == 10);
  CHECK(breaks(all) == std::vector<double>{3600});
}

TEST_CASE("a clock set back by less than a fifth of an interval is not told") {
  Made made = plain();
  made.jump(-20, 60);
  CHECK(kinds(made.log()) == Kinds{"clock_set_back"});
  Made short_of_it = plain();
  short_of_it.jump(-10, 60);
  CHECK(kinds(short_of_it.log()).empty());
}

TEST_CASE("a clock set forward shows as a jump of no whole intervals; whole ones are readings missed") {
  Made made = plain();
  made.jump(200, 60);
  const ProbeLog log = made.log();
  REQUIRE(kinds(log) == Kinds{"clock_set_forward"});
  CHECK(log.survey().clock_events[0].jump_s == 200);
  const test::AllRows all = test::all_rows(log);
  CHECK(all.rows.time_s.size() == 120);
  CHECK(breaks(all) == std::vector<double>{3540 + 260});
  Made gap = plain();
  gap.jump(240, 60);
  const ProbeLog gapped = gap.log();
  CHECK(kinds(gapped).empty());
  CHECK(test::all_rows(gapped).rows.break_before.empty());
  CHECK(gapped.survey().gap_count == 1);
}

TEST_CASE("a clock that begins anew in 2000 goes on one interval later, behind a break") {
  for (const char* anew : {"2000-01-01T00:00:00", "1970-01-01T00:00:00"}) {
    CAPTURE(anew);
    Made made = plain();
    made.add(anew, 60);
    const ProbeLog log = made.log();
    REQUIRE(kinds(log) == Kinds{"clock_reset"});
    const test::AllRows all = test::all_rows(log);
    CHECK(all.rows.time_s.size() == 120);
    CHECK(all.rows.time_s.back() == 119 * 60);
    CHECK(breaks(all) == std::vector<double>{3600});
    CHECK(print_iso_wall(*log.survey().start_wall) == "2026-03-04T18:00:00");
  }
  Made short_of_it = plain();
  short_of_it.add("2001-01-01T00:00:00", 60);
  CHECK(kinds(short_of_it.log()) == Kinds{"clock_set_back"});
}

TEST_CASE("rows before a clock was first set stand before the first row of the right time") {
  Made made;
  made.add("2000-01-01T00:00:00", 30);
  made.add("2026-03-04T18:00:00", 60);
  const ProbeLog log = made.log();
  REQUIRE(kinds(log) == Kinds{"clock_set_forward"});
  const test::AllRows all = test::all_rows(log);
  CHECK(all.rows.time_s.size() == 90);
  CHECK(all.rows.time_s.back() == 89 * 60);
  CHECK(breaks(all) == std::vector<double>{1800});
  CHECK(print_iso_wall(*log.survey().start_wall) == "2026-03-04T17:30:00");
}

TEST_CASE("an elapsed count that begins anew is told, and its first stretch counts once") {
  std::string text = "elapsed (s),Core 1 (C)\n";
  for (const int rows : {50, 80})
    for (int i = 0; i < rows; ++i)
      text += std::to_string(i * 10) + ",90\n";
  const ProbeLog log = test::open_text(text);
  CHECK(kinds(log) == Kinds{"clock_reset"});
  const test::AllRows all = test::all_rows(log);
  CHECK(all.rows.time_s.size() == 80);
  CHECK(breaks(all) == std::vector<double>{500});
}

TEST_CASE("an hour in the night to a Sunday without a zone is told as summer time, and is a break") {
  // New York, 2026-11-01 and 2026-03-08 (IANA time zone database).
  Made autumn;
  autumn.add("2026-11-01T00:00:00", 120);
  autumn.jump(-3600, 120);
  const ProbeLog log = autumn.log();
  REQUIRE(kinds(log) == Kinds{"summer_time"});
  CHECK(log.survey().clock_events[0].effect == "stretch_not_credited");
  CHECK(breaks(test::all_rows(log)) == std::vector<double>{7200});
  Made spring;
  spring.add("2026-03-08T00:00:00", 120);
  spring.jump(3600, 120);
  CHECK(kinds(spring.log()) == Kinds{"summer_time"});
  Made weekday;
  weekday.add("2026-11-02T00:00:00", 120);
  weekday.jump(-3600, 120);
  CHECK(kinds(weekday.log()) == Kinds{"clock_set_back"});
  Made half_an_hour;
  half_an_hour.add("2026-11-01T00:00:00", 120);
  half_an_hour.jump(-1800, 120);
  CHECK(kinds(half_an_hour.log()) == Kinds{"clock_set_back"});
}

TEST_CASE("with a zone both instants of the hour that comes twice are kept, and nothing breaks") {
  Made autumn;
  autumn.add("2026-11-01T00:00:00", 120);
  autumn.jump(-3600, 120);
  const ProbeLog log = autumn.log(in_zone("America/New_York"));
  REQUIRE(kinds(log) == Kinds{"summer_time"});
  CHECK(log.survey().clock_events[0].effect == "told");
  CHECK(log.survey().clock_events[0].jump_s == -3600);
  CHECK(log.survey().clock_events[0].time_s == 7200);
  const test::AllRows all = test::all_rows(log);
  CHECK(all.rows.time_s.size() == 240);
  CHECK(all.rows.time_s.back() == 239 * 60);
  CHECK(all.rows.break_before.empty());
  std::reverse(autumn.wall.begin(), autumn.wall.end());
  CHECK(test::all_rows(autumn.log(in_zone("America/New_York"))).rows.time_s == all.rows.time_s);
}

TEST_CASE("a log that begins in the second of two equal hours is led by what follows") {
  Made made;
  made.add("2026-11-01T01:30:00", 60);
  const ProbeLog log = made.log(in_zone("America/New_York"));
  CHECK(log.survey().last_s == 59 * 60);
  CHECK(print_iso_utc(*log.survey().start) == "2026-11-01T06:30:00Z");
}

TEST_CASE("a changed interval is told and costs nothing; a missed reading is none") {
  Made made = plain();
  made.go_on(60, 10);
  const ProbeLog log = made.log();
  REQUIRE(kinds(log) == Kinds{"interval_changed"});
  CHECK(log.survey().clock_events[0].jump_s == -50);
  CHECK(log.survey().clock_events[0].at.line == 62);
  CHECK(test::all_rows(log).rows.break_before.empty());
  Made slower;
  slower.add("2026-03-04T18:00:00", 200, 10);
  slower.go_on(20, 60);
  CHECK(kinds(slower.log()) == Kinds{"interval_changed"});
  Made near = plain();
  near.go_on(60, 55);
  CHECK(kinds(near.log()).empty());
}

TEST_CASE("uneven steps are told where over a tenth of them are off") {
  const auto with_every = [](int nth) {
    Made made = plain(1);
    for (int i = 1; i < 200; ++i)
      made.go_on(1, i % nth == 0 ? 75 : i % nth == 1 ? 45 : 60);
    return made;
  };
  const ProbeLog uneven = with_every(12).log();
  REQUIRE(kinds(uneven) == Kinds{"interval_jitter"});
  CHECK(uneven.survey().clock_events[0].jump_s == 15);
  CHECK(test::all_rows(uneven).rows.break_before.empty());
  CHECK(kinds(with_every(40).log()).empty());
}

TEST_CASE("a row up to 32 rows late is put in its place, a later one is told and not used") {
  for (const std::size_t late : {std::size_t{1}, std::size_t{31}, std::size_t{40}}) {
    CAPTURE(late);
    Made made = plain(120);
    std::rotate(made.wall.begin() + 30, made.wall.begin() + 31,
                made.wall.begin() + 31 + static_cast<std::ptrdiff_t>(late));
    const ProbeLog log = made.log();
    const test::AllRows all = test::all_rows(log);
    CHECK(rises(all.rows.time_s));
    CHECK(all.rows.time_s.size() == (late <= 32 ? 120 : 119));
    CHECK(test::tally_of(all.tally, "time_goes_back").count == (late <= 32 ? 0 : 1));
    CHECK(kinds(log) == (late <= 32 ? Kinds{"rows_reordered"} : Kinds{}));
  }
}

TEST_CASE("a row far ahead of its neighbours is told and not used") {
  Made made = plain(120);
  made.wall[50] = wall_us("2096-03-04T18:50:00");
  const ProbeLog log = made.log();
  const test::AllRows all = test::all_rows(log);
  CHECK(all.rows.time_s.size() == 119);
  CHECK(test::tally_of(all.tally, "time_out_of_place").first.line == 52);
  CHECK(log.survey().last_s == 119 * 60);
}

TEST_CASE("shuffled within the window, with doubled rows, newest first: the same rows as the plain log") {
  for (unsigned seed = 1; seed <= static_cast<unsigned>(cases()); ++seed) {
    CAPTURE(seed);
    std::mt19937 random(seed);
    const auto below = [&](std::size_t n) { return random() % n; };
    const std::size_t count = 40 + below(400);
    std::vector<std::string> rows;
    for (std::size_t i = 0; i < count; ++i)
      rows.push_back(row_at(wall_us("2026-03-04T18:00:00") + static_cast<std::int64_t>(i) * 30 * us,
                            static_cast<int>(i % 97)));
    const auto text_of = [](const std::vector<std::string>& lines) {
      std::string text = "Time,Core 1 (C)\n";
      for (const std::string& line : lines)
        text += line;
      return text;
    };
    const test::AllRows expected = test::all_rows(test::open_text(text_of(rows)));
    std::vector<std::string> changed = rows;
    // Sorted by place plus less than so many rows: no row comes later than that.
    std::vector<std::pair<std::size_t, std::string>> keyed;
    for (std::size_t i = 0; i < count; ++i)
      keyed.emplace_back(i + below(14), rows[i]);
    std::stable_sort(keyed.begin(), keyed.end(),
                     [](const auto& a, const auto& b) { return a.first < b.first; });
    for (std::size_t i = 0; i < count; ++i)
      changed[i] = keyed[i].second;
    const std::size_t doubled = below(count / 10);
    for (std::size_t i = 0; i < doubled; ++i) {
      const std::size_t from = below(changed.size());
      changed.insert(changed.begin() + static_cast<std::ptrdiff_t>(from), changed[from]);
    }
    if (seed % 2 == 0) std::reverse(changed.begin(), changed.end());
    const ProbeLog log = test::open_text(text_of(changed));
    for (const int block_rows : {1, 7, 4096}) {
      const test::AllRows all = test::all_rows(log, block_rows);
      CHECK(all.rows.time_s == expected.rows.time_s);
      CHECK(all.rows.value == expected.rows.value);
      CHECK(breaks(all).empty());
      CHECK(test::tally_of(all.tally, "time_repeats").count == static_cast<std::int64_t>(doubled));
      CHECK(test::tally_of(all.tally, "time_repeats_differ").count == 0);
    }
  }
}

} // namespace coldbag
