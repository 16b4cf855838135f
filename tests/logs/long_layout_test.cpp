// A row for each time and probe: the same rows as with a column for each probe.
#include "logs/samples.h"
#include "support/approx.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <random>
#include <string>
#include <vector>

namespace coldbag {
namespace {

constexpr int times = 50;
constexpr int probes = 3;

std::string time_at(int row, int second = 0) {
  return print_iso_wall(
      {(parse_iso_time("2026-03-04T18:00:00")->wall.us) + (row * 60 + second) * 1'000'000LL});
}

std::string reading(int row, int probe) {
  return std::to_string(20 + row % 70 + probe) + ".5";
}

std::string wide() {
  std::string text = "Time,Core 1 (C),Core 2 (C),Steam (C)\n";
  for (int row = 0; row < times; ++row) {
    text += time_at(row);
    for (int p = 0; p < probes; ++p)
      text += "," + reading(row, p);
    text += "\n";
  }
  return text;
}

const std::vector<std::string> names{"Core 1", "Core 2", "Steam"};

std::vector<std::string> long_rows(bool by_probe) {
  std::vector<std::string> rows;
  for (int a = 0; a < (by_probe ? probes : times); ++a)
    for (int b = 0; b < (by_probe ? times : probes); ++b) {
      const int row = by_probe ? b : a;
      const int p = by_probe ? a : b;
      rows.push_back(time_at(row) + "," + names[static_cast<std::size_t>(p)] + "," + reading(row, p) + "\n");
    }
  return rows;
}

std::string text_of(const std::vector<std::string>& rows) {
  std::string text = "Time,Probe,Value (C)\n";
  for (const std::string& row : rows)
    text += row;
  return text;
}

std::vector<std::string> columns(const ProbeLog& log) {
  std::vector<std::string> found;
  for (const int column : log.value_columns())
    found.push_back(log.understanding().columns[static_cast<std::size_t>(column)].name);
  return found;
}

} // namespace

TEST_CASE("the long layout gives the rows of the wide one, by time, by probe, or newest first") {
  const test::AllRows expected = test::all_rows(test::open_text(wide()));
  for (const bool by_probe : {false, true})
    for (const bool newest_first : {false, true}) {
      CAPTURE(by_probe);
      CAPTURE(newest_first);
      auto rows = long_rows(by_probe);
      if (newest_first)
        std::stable_sort(rows.begin(), rows.end(), [&](const auto& a, const auto& b) {
          return by_probe ? false : a.substr(0, 19) > b.substr(0, 19);
        });
      const ProbeLog log = test::open_text(text_of(rows));
      CHECK(columns(log) == names);
      for (const int block_rows : {1, 7, 4096}) {
        const test::AllRows all = test::all_rows(log, block_rows);
        CHECK(all.rows.time_s == expected.rows.time_s);
        CHECK(all.rows.value == expected.rows.value);
        CHECK(all.rows.has == expected.rows.has);
        CHECK(all.tally.empty());
      }
      CHECK(log.survey().interval_s == 60);
      CHECK(log.survey().gap_count == 0);
    }
}

TEST_CASE("probes sampled at different times have rows and an interval of their own") {
  std::string text = "Time;Sonda;Temp (C)\n";
  for (int row = 0; row < 40; ++row) {
    text += time_at(row) + ";rear;96,5\n";
    if (row % 5 == 0) text += time_at(row, 7) + ";front;95,5\n";
  }
  const ProbeLog log = test::open_text(text);
  const test::AllRows all = test::all_rows(log);
  CHECK(all.rows.time_s.size() == 48);
  CHECK(log.survey().column_interval_s == std::vector<double>{60, 300});
  CHECK(std::count(all.rows.has[0].begin(), all.rows.has[0].end(), 1) == 40);
  CHECK(std::count(all.rows.has[1].begin(), all.rows.has[1].end(), 1) == 8);
  CHECK(log.survey().clock_events.empty());
}

TEST_CASE("a doubled reading of the long layout is told, and whether it differs") {
  auto rows = long_rows(false);
  rows.insert(rows.begin() + 3, rows[2]);
  rows.insert(rows.begin() + 8, time_at(1) + ",Core 1,99.5\n");
  const test::AllRows all = test::all_rows(test::open_text(text_of(rows)));
  CHECK(all.rows.value == test::all_rows(test::open_text(wide())).rows.value);
  CHECK(test::tally_of(all.tally, "time_repeats").count == 1);
  CHECK(test::tally_of(all.tally, "time_repeats_differ").count == 1);
}

TEST_CASE("a clock set back in the long layout is told once and breaks every probe") {
  std::string text = "Time,Probe,Value (C)\n";
  for (int row = 0; row < 120; ++row)
    for (int p = 0; p < probes; ++p)
      text += time_at(row < 60 ? row : row - 10) + "," + names[static_cast<std::size_t>(p)] + ",96.5\n";
  const ProbeLog log = test::open_text(text);
  REQUIRE(log.survey().clock_events.size() == 1);
  CHECK(log.survey().clock_events[0].kind == "clock_set_back");
  CHECK(log.survey().clock_events[0].at.line == 182);
  const test::AllRows all = test::all_rows(log);
  CHECK(all.rows.time_s.size() == 110);
  CHECK(std::count(all.rows.break_before.begin(), all.rows.break_before.end(), 1) == 1);
  CHECK(test::tally_of(all.tally, "time_goes_back").count == 30);
}

TEST_CASE("the header once more, another table and a footer are no probes of the long layout") {
  auto rows = long_rows(false);
  rows.insert(rows.begin() + 30, "Time,Probe,Value (C)\n");
  rows.insert(rows.begin() + 60, "Time,Alarm,Level\n2026-03-04T18:20:00,Low water,3\nTime,Probe,Value (C)\n");
  rows.emplace_back("End of record,,\n");
  const ProbeLog log = test::open_text(text_of(rows));
  CHECK(columns(log) == names);
  const test::AllRows all = test::all_rows(log);
  CHECK(all.rows.value == test::all_rows(test::open_text(wide())).rows.value);
  CHECK(test::tally_of(all.tally, "header_repeats").count == 2);
  CHECK(test::tally_of(all.tally, "other_table").count == 2);
  CHECK(test::tally_of(all.tally, "footer").count == 1);
  CHECK(all.tally.size() == 3);
}

TEST_CASE("each row of the long layout may say its unit, and a fault value is no reading") {
  std::string text = "Time,Probe,Value,Unit\n";
  for (int row = 0; row < 4; ++row) {
    text += time_at(row) + ",Core 1,96.5,C\n" + time_at(row) + ",Core 2,";
    text += row == 2 ? "-999,F\n" : "205.7,F\n";
  }
  const test::AllRows all = test::all_rows(test::open_text(text));
  REQUIRE(all.rows.value.size() == 2);
  CHECK(all.rows.value[0] == std::vector<double>{96.5, 96.5, 96.5, 96.5});
  CHECK(test::within(all.rows.value[1][0], 96.5, 1e-9));
  CHECK(all.rows.has[1] == std::vector<std::uint8_t>{1, 1, 0, 1});
  CHECK(test::tally_of(all.tally, "fault_value").count == 1);
}

TEST_CASE("the long layout is read in UTF-16, with dates that the log itself settles") {
  std::string text = "Fecha,Sonda,Temp (\xB0"
                     "C)\r\n";
  for (int row = 0; row < 30; ++row)
    for (const char* name : {"Core 1", "Core 2"})
      text += std::to_string(1 + row) + "/3/2026 14:00," + name + ",96.5\r\n";
  std::string wide_bytes = "\xFF\xFE";
  for (const char c : text)
    wide_bytes += std::string{c, '\0'};
  const ProbeLog log = test::open_text(wide_bytes);
  CHECK(log.understanding().time.date_order->value == DateOrder::day_first);
  CHECK(columns(log) == std::vector<std::string>{"Core 1", "Core 2"});
  CHECK(log.survey().interval_s == 86400);
  CHECK(test::all_rows(log).rows.value[1] == std::vector<double>(30, 96.5));
  CHECK(test::all_rows(log).tally.empty());
}

TEST_CASE("readings of another kind among the probes are not used, and one name alone is no long layout") {
  std::string text = "Time,Channel,Value (C)\n";
  for (int row = 0; row < 5; ++row)
    for (const char* name : {"Core 1", "Humidity", "Core 2", "PRESI\u00D3N"})
      text += time_at(row) + "," + name + ",96.5\n";
  CHECK(columns(test::open_text(text)) == std::vector<std::string>{"Core 1", "Core 2"});
  text.clear();
  for (int row = 0; row < 5; ++row)
    text += time_at(row) + ",Core 1,96.5\n" + time_at(row, 20) + ",Humidity,99\n" + time_at(row) +
            ",Core 2,96.5\n";
  const ProbeLog beside = test::open_text("Time,Channel,Value (C)\n" + text);
  CHECK(beside.survey().row_count == 5);
  CHECK(test::all_rows(beside).rows.time_s == std::vector<double>{0, 60, 120, 180, 240});
  CHECK_THROWS_AS(test::open_text("Time,Channel,Value (C)\n" + time_at(0) + ",Humidity,99\n" + time_at(1) +
                                  ",Battery,3.1\n"),
                  UserError);
  const ProbeLog one =
      test::open_text("Time,Probe,Value (C)\n" + time_at(0) + ",A,96\n" + time_at(1) + ",A,97\n");
  CHECK_FALSE(one.understanding().long_layout);
  CHECK(columns(one) == std::vector<std::string>{"Value"});
}

} // namespace coldbag
