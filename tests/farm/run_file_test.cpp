#include "farm/run_file.h"

#include "support/approx.h"

#include <doctest/doctest.h>

#include <array>
#include <string>

using namespace coldbag;
using test::within;

namespace {

// Invented.
constexpr std::string_view whole_run = R"toml(
[run]
name = "invented run"
site = "site.toml"
vessel = "north"
treatment = "atmospheric_steam"
by = "A"
lots = ["L7", "L8"]
notes = "rain"
resteam_of = "an earlier run"
pressure_at_site = "88.2 kPa"

[[log]]
file = "log.csv"
clock_offset = "-2 min"

[[log]]
file = "sheet.csv"
by_hand = true

[[load.bags]]
bag = "brick"
count = 90
rack = "1"
layer = "lowest"
mass = "5 lb"
moisture = "60 %"
lot = "L7"

[[load.bags]]
bag = "brick"
count = 30

[probes.one]
place = "bag"
bag = "brick"

[[event]]
what = "steam_on"
time = 2026-03-08T14:05:00
note = "both burners"
who = "B"

[[event]]
what = "probe_moved"
time = 2026-03-08T15:05:00-05:00
probe = "one"

[[event]]
what = "steam_off"
time = "2026-03-09 04:05"

[[event]]
what = "remark"
time = "1 h 20 min"
)toml";

} // namespace

TEST_CASE("every key of a run file is read") {
  const RunFile run = read_run_file("run.toml", whole_run);
  CHECK(run.source_name == "run.toml");
  CHECK(run.name == "invented run");
  CHECK(run.site_file == "site.toml");
  CHECK(run.vessel.value == "north");
  CHECK(run.treatment.value == "atmospheric_steam");
  CHECK(run.by == "A");
  CHECK(run.lots == std::vector<std::string>{"L7", "L8"});
  CHECK(run.notes == "rain");
  CHECK(run.resteam_of == "an earlier run");
  CHECK(within(*run.site_pressure_Pa.value, 88200, 1e-6));
  CHECK_FALSE(run.sea_level_pressure_Pa.known());

  REQUIRE(run.logs.size() == 2);
  CHECK(run.logs[0].file == "log.csv");
  CHECK(run.logs[0].clock_offset_s == -120);
  CHECK_FALSE(run.logs[0].by_hand);
  CHECK(run.logs[1].clock_offset_s == 0);
  CHECK(run.logs[1].by_hand);

  REQUIRE(run.load.has_value());
  CHECK(run.load->bag_count() == 120);
  const LoadLine& line = run.load->lines[0];
  CHECK(line.bag == "brick");
  CHECK(line.count == 90);
  CHECK(line.rack == "1");
  CHECK(line.layer == "lowest");
  CHECK(within(*line.mass_kg, 2.26796185, 1e-9));
  CHECK(within(*line.moisture_wb, 0.6, 1e-12));
  CHECK(line.lot == "L7");

  REQUIRE(run.probes.size() == 1);
  CHECK(run.probes[0].bag.value == "brick");

  REQUIRE(run.events.size() == 4);
  CHECK(run.events[0].what == EventKind::steam_on);
  CHECK(run.events[0].time.wall == wall_time({2026, 3, 8, 14, 5, 0}));
  CHECK_FALSE(run.events[0].time.offset_s.has_value());
  CHECK(run.events[0].note == "both burners");
  CHECK(run.events[0].who == "B");
  CHECK(run.events[1].what == EventKind::probe_moved);
  CHECK(run.events[1].time.offset_s == -5 * 3600);
  CHECK(run.events[1].probe == "one");
  CHECK(run.events[2].time.wall == wall_time({2026, 3, 9, 4, 5, 0}));
  CHECK_FALSE(run.events[3].time.wall.has_value());
  CHECK(run.events[3].time.elapsed_s == 4800);
}

TEST_CASE("a barometer set to sea level is kept apart from one that reads here") {
  const RunFile run =
      read_run_file("r", "[run]\npressure_at_sea_level = \"1013 hPa\"\n[[log]]\nfile = \"a\"\n");
  CHECK(within(*run.sea_level_pressure_Pa.value, 101300, 1e-6));
  CHECK_FALSE(run.site_pressure_Pa.known());
}

TEST_CASE("a load may be a file of its own") {
  const RunFile run = read_run_file("r", "[run]\n[[log]]\nfile = \"a\"\n[load]\nfile = \"load.csv\"\n");
  CHECK(run.load_file == "load.csv");
  CHECK_FALSE(run.load.has_value());
}

TEST_CASE("the question marks of a run file are listed in file order") {
  const RunFile run = read_run_file("r", R"toml([run]
vessel = "?"
by = "?"
lots = "?"
pressure_at_site = "?"
[[log]]
file = "a"
clock_offset = "?"
[[load.bags]]
bag = "brick"
count = 3
moisture = "?"
)toml");
  std::vector<int> lines;
  for (const Place& place : unanswered(run))
    lines.push_back(place.line);
  CHECK(lines == std::vector<int>{2, 3, 4, 5, 8, 12});
}

TEST_CASE("every kind of event has a word that finds it again") {
  for (int i = 0; i <= static_cast<int>(EventKind::remark); ++i) {
    const auto kind = static_cast<EventKind>(i);
    CHECK_FALSE(event_text(kind).empty());
    CHECK(find_event(event_text(kind)) == kind);
  }
  CHECK_FALSE(find_event("steam").has_value());
}
