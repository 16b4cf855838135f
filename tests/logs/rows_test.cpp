// Rows, their times, the survey and the tally.
#include "logs/rows.h"

#include "logs/lines.h"
#include "logs/samples.h"
#include "support/approx.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cstdlib>
#include <memory>
#include <string>
#include <vector>

namespace coldbag {
namespace {

/// Hands out at most so many bytes a time.
class TinyReader : public ByteReader {
 public:
  TinyReader(std::unique_ptr<ByteReader> below, std::size_t most) : below_(std::move(below)), most_(most) {}
  std::size_t read(char* buffer, std::size_t size) override {
    return below_->read(buffer, std::min(size, most_));
  }

 private:
  std::unique_ptr<ByteReader> below_;
  std::size_t most_;
};

std::string minute(int i) {
  const auto two = [](int n) { return (n < 10 ? "0" : "") + std::to_string(n); };
  return "2026-03-08 " + two(i / 60) + ":" + two(i % 60) + ":00";
}

/// Ragged, with faults of every kind.
std::string long_log() {
  std::string text = "Site,north\nTime,Core 1 (°C),Core 2 (°F)\n";
  for (int i = 0; i < 600; ++i) {
    text += minute(i) + ",";
    text += i % 7 == 0 ? "hot" : i % 11 == 0 ? "" : std::to_string(20 + i % 80) + ".5";
    if (i % 13 != 0) text += i % 17 == 0 ? ",NaN" : "," + std::to_string(70 + i % 130);
    if (i % 19 == 0) text += "\n" + minute(i) + ",1,2";
    if (i % 101 == 0) text += "\nsome words\xff,1,2";
    text += "\r\n";
  }
  return text;
}

bool same(const test::AllRows& a, const test::AllRows& b) {
  return a.rows.time_s == b.rows.time_s && a.rows.value == b.rows.value && a.rows.has == b.rows.has &&
         a.tally == b.tally;
}

LogOptions in_zone(const char* name) {
  LogOptions options;
  options.zone = Zone::find(name);
  options.zone_given_by = "--zone";
  return options;
}

} // namespace

TEST_CASE("a log with the newest row first may hold its header once more, another table and a footer") {
  const std::string head = "Time,Core 1 (C)\n";
  const test::AllRows all =
      test::all_rows(test::open_text(head + "2026-03-08 14:04,96.5\n2026-03-08 14:03,96.4\n" + head +
                                     "2026-03-08 14:02,96.3\nTime,Alarm\n2026-03-01 09:00,3\n" + head +
                                     "2026-03-08 14:01,96.2\n2026-03-08 14:00,999.9\nEnd of record,\n"));
  CHECK(all.rows.time_s == std::vector<double>{0, 60, 120, 180, 240});
  CHECK(all.rows.value == std::vector<std::vector<double>>{{0, 96.2, 96.3, 96.4, 96.5}});
  CHECK(test::tally_of(all.tally, "fault_value").count == 1);
  CHECK(test::tally_of(all.tally, "header_repeats").count == 2);
  CHECK(test::tally_of(all.tally, "other_table").count == 2);
  CHECK(test::tally_of(all.tally, "footer").count == 1);
  CHECK(all.tally.size() == 4);
}

TEST_CASE("dates of another table do not settle whether the day or the month comes first") {
  const std::string head = "Time,Core 1 (C)\n";
  std::string text = head;
  for (int day = 1; day < 8; ++day)
    text += "03/0" + std::to_string(day) + "/2026 14:00,96.1\n";
  text += "Time,Alarm\n28/02/2026 09:00,3\n" + head + "03/08/2026 14:00,96.1\n";
  const ProbeLog log = test::open_text(text);
  CHECK(log.understanding().time.date_order->value == DateOrder::month_first);
  CHECK(log.survey().interval_s == 86400);
}

TEST_CASE("every block size gives the same rows and the same tally") {
  const ProbeLog log = test::open_text(long_log());
  const test::AllRows whole = test::all_rows(log);
  CHECK(whole.rows.time_s.size() == 600);
  CHECK(whole.tally.size() == 7);
  for (const int block_rows : {1, 2, 3, 7, 100, 599, 600, 601}) {
    CAPTURE(block_rows);
    CHECK(same(test::all_rows(log, block_rows), whole));
  }
}

TEST_CASE("a block says the number of its first row") {
  const ProbeLog log = test::open_text(long_log());
  std::int64_t next = 0;
  (void)log.for_each_block(
      [&](const RowBlock& block) {
        CHECK(block.first_row == next);
        next += static_cast<std::int64_t>(block.time_s.size());
      },
      64);
  CHECK(next == log.survey().row_count);
}

TEST_CASE("reads of 1, 2 and 7 bytes give the same rows, tally and digest") {
  const std::string text = long_log();
  const Source memory = Source::memory("run.csv", text);
  const test::AllRows whole = test::all_rows(ProbeLog::open(memory, {}));
  for (const std::size_t most : {1U, 2U, 7U}) {
    CAPTURE(most);
    const Source tiny = Source::readers("run.csv", [text, most] {
      return std::make_unique<TinyReader>(Source::memory("run.csv", text).open(), most);
    });
    const ProbeLog log = ProbeLog::open(tiny, {});
    CHECK(same(test::all_rows(log), whole));
    CHECK(log.source().sha256() == memory.sha256());
  }
}

TEST_CASE("the digest is the SHA-256 of all bytes") {
  // FIPS 180-2, appendix B.1, from memory; sha256sum says the same.
  CHECK(Source::memory("a", "abc").sha256() ==
        "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
}

TEST_CASE("each missing cell is counted by kind, with the place and text of the first") {
  const ProbeLog log = test::open_text("Time,Core 1 (°C),Core 2 (°C)\n"
                                       "2026-03-08 14:00:00,96.1,\n"
                                       "2026-03-08 14:01:00,open circuit,---\n"
                                       "2026-03-08 14:02:00,-280,300.1\n"
                                       "2026-03-08 14:03:00,N/A,inf\n"
                                       "2026-03-08 14:04:00,205 F,sauna\n");
  const test::AllRows all = test::all_rows(log);
  CHECK(test::tally_of(all.tally, "empty") == CellTally{"empty", 2, {"run.csv", 2, 26, "Core 2"}, ""});
  CHECK(test::tally_of(all.tally, "text") ==
        CellTally{"text", 2, {"run.csv", 3, 21, "Core 1"}, "open circuit"});
  CHECK(test::tally_of(all.tally, "impossible") ==
        CellTally{"impossible", 2, {"run.csv", 4, 21, "Core 1"}, "-280"});
  CHECK(test::tally_of(all.tally, "not_a_number") ==
        CellTally{"not_a_number", 2, {"run.csv", 5, 21, "Core 1"}, "N/A"});
  CHECK(test::tally_of(all.tally, "wrong_unit") ==
        CellTally{"wrong_unit", 1, {"run.csv", 6, 21, "Core 1"}, "205 F"});
  CHECK(all.rows.has[0] == std::vector<std::uint8_t>{1, 0, 0, 0, 0});
}

TEST_CASE("a row whose time repeats is told and not handed on, and whether its values repeat too") {
  const ProbeLog log = test::open_text("Time,Core 1 (°C)\n"
                                       "2026-03-08 14:00:00,1\n2026-03-08 14:01:00,2\n"
                                       "2026-03-08 14:01:00,3\n2026-03-08 14:01:00,2\n"
                                       "2026-03-08 14:01:00,ERR\n2026-03-08 14:02:00,5\n");
  const test::AllRows all = test::all_rows(log);
  CHECK(all.rows.value[0] == std::vector<double>{1, 2, 5});
  CHECK(test::tally_of(all.tally, "time_repeats").first.line == 5);
  CHECK(test::tally_of(all.tally, "time_repeats_differ").first.line == 4);
  CHECK(test::tally_of(all.tally, "time_repeats_differ").count == 2);
  CHECK(test::tally_of(all.tally, "text").count == 0);
  CHECK(log.survey().row_count == 3);
}

TEST_CASE("the hour that comes twice is read so that time rises") {
  // New York, 2026-11-01: 02:00 daylight time is 01:00 standard time (IANA time zone database).
  std::string text = "Time,Core 1 (°C)\n";
  for (const char* clock : {"00:30", "01:00", "01:30", "01:00", "01:30", "02:00"})
    text += std::string("2026-11-01 ") + clock + ",96.5\n";
  const ProbeLog log = test::open_text(text, in_zone("America/New_York"));
  CHECK(test::all_rows(log).rows.time_s == std::vector<double>{0, 1800, 3600, 5400, 7200, 9000});
  CHECK(print_iso_utc(log.survey().start.value()) == "2026-11-01T04:30:00Z");
}

TEST_CASE("a wall time that no clock showed is told and not handed on") {
  // New York, 2026-03-08: 02:00 standard time is 03:00 daylight time (IANA time zone database).
  std::string text = "Time,Core 1 (°C)\n";
  for (const char* clock : {"01:30", "02:00", "02:30", "03:00", "03:30"})
    text += std::string("2026-03-08 ") + clock + ",96.5\n";
  const ProbeLog log = test::open_text(text, in_zone("America/New_York"));
  const test::AllRows all = test::all_rows(log);
  CHECK(all.rows.time_s == std::vector<double>{0, 1800, 3600});
  CHECK(test::tally_of(all.tally, "missing_hour").count == 2);
  CHECK(test::tally_of(all.tally, "missing_hour").first.line == 3);
}

TEST_CASE("without a zone wall times differ as written and there is no instant") {
  const ProbeLog log = test::open_text("Time,Core 1 (°C)\n2026-03-08 01:30,96.5\n2026-03-08 03:00,96.5\n");
  CHECK(log.survey().last_s == 5400);
  CHECK_FALSE(log.survey().start);
  CHECK(print_iso_wall(log.survey().start_wall.value()) == "2026-03-08T01:30:00");
}

TEST_CASE("times that carry their zone are instants, even where the offset changes") {
  const ProbeLog log = test::open_text("Time,Core 1 (°C)\n2026-03-08T01:59:00-05:00,96.5\n"
                                       "2026-03-08T03:00:00-04:00,96.5\n");
  CHECK(log.survey().last_s == 60);
  CHECK(print_iso_utc(log.survey().start.value()) == "2026-03-08T06:59:00Z");
}

TEST_CASE("elapsed times have neither instant nor wall time") {
  const ProbeLog log = test::open_text("time [s],Core 1 (°C)\n10,96.5\n20.5,96.5\n");
  CHECK(log.survey().last_s == 10.5);
  CHECK_FALSE(log.survey().start);
  CHECK_FALSE(log.survey().start_wall);
}

TEST_CASE("the interval is the median step, and gaps are longer than one and a half of it") {
  std::string text = "elapsed (s),Core 1 (°C)\n";
  for (const int second : {0, 10, 20, 30, 45, 55, 71, 81, 200, 210})
    text += std::to_string(second) + ",90\n";
  const LogSurvey survey = test::open_text(text).survey();
  CHECK(survey.interval_s == 10);
  CHECK(survey.gap_count == 2);
  CHECK(survey.gaps == std::vector<Gap>{{55, 71}, {81, 200}});
}

TEST_CASE("an even number of steps has the mean of the middle two as median") {
  CHECK(test::open_text("elapsed (s),Core 1 (°C)\n0,90\n10,90\n30,90\n").survey().interval_s == 15);
}

TEST_CASE("the longest hundred gaps are kept, in time order, and all are counted") {
  std::string text = "elapsed (s),Core 1 (°C)\n";
  int second = 0;
  for (int i = 0; i < 1000; ++i) {
    text += std::to_string(second) + ",90\n";
    second += i % 5 == 4 ? 20 + i : 10;
  }
  const LogSurvey survey = test::open_text(text).survey();
  CHECK(survey.gap_count == 199);
  REQUIRE(survey.gaps.size() == 100);
  CHECK(std::is_sorted(survey.gaps.begin(), survey.gaps.end(),
                       [](const Gap& a, const Gap& b) { return a.from_s < b.from_s; }));
  const auto length = [](const Gap& gap) { return gap.to_s - gap.from_s; };
  CHECK(length(survey.gaps.front()) == 20 + 499);
  CHECK(length(survey.gaps.back()) == 20 + 994);
}

TEST_CASE("values are handed on in degC") {
  const ProbeLog log = test::open_text("Time,A [F],B (K),C (deg C)\n"
                                       "2026-03-08 14:00:00,212,373.15,+1.0e2\n");
  const test::AllRows all = test::all_rows(log);
  for (const auto& column : all.rows.value)
    CHECK(test::within(column[0], 100, 1e-12));
}

TEST_CASE("standard numbers agree with strtod to the last bit") {
  // strtod of the C library rounds to the nearest double; plain numbers take a road of their own here.
  for (const char* text : {"0.1", "98.4", "-17.85", "123456.789012345", "0.000000000000001",
                           "99.999999999999999", "7.", ".5", "1e2", "1.25E+1", "00012.50"}) {
    CAPTURE(text);
    const ProbeLog log = test::open_text(
        std::string("Time,Core (°C)\n2026-03-08 14:00:00,20\n2026-03-08 14:01:00,") + text + "\n");
    const test::AllRows all = test::all_rows(log);
    const double expected = std::strtod(text, nullptr);
    const bool possible = expected <= 300;
    REQUIRE((all.rows.has[0][1] != 0) == possible);
    if (possible) CHECK(all.rows.value[0][1] == expected);
  }
}

} // namespace coldbag
