// A clock that was set never earns credit, and files of one run keep their own steps.
#include "run/made_run.h"

#include <doctest/doctest.h>

namespace coldbag {
namespace {

/// A log of one bag at 100 C from the second hour on, a row a minute.
std::string bag_log(int jump_at_row, int jump_s, int step_s = 60, const char* column = "Core (C)") {
  std::string text = std::string("Time,") + column + "\n";
  std::int64_t at_us = parse_iso_time("2026-03-04T18:00:00")->wall.us;
  for (int row = 0; row < 16 * 3600 / step_s; ++row) {
    if (row == jump_at_row) at_us += jump_s * 1'000'000LL;
    text += print_iso_wall({at_us}) + (row < 3600 / step_s ? ",20.0\n" : ",100.0\n");
    at_us += step_s * 1'000'000LL;
  }
  return text;
}

RunReport judged_log(const std::vector<std::pair<std::string, std::string>>& logs) {
  RunRequest request;
  request.options.treatment = "atmospheric_steam";
  request.options.altitude_m = 0;
  request.options.vessel_kind = VesselKind::vented;
  request.options.u_K = 0;
  for (const auto& [name, text] : logs)
    request.logs.push_back(Source::memory(name, text));
  RunInput input = open_run(std::move(request), TableFiles::built_in());
  input.check_limits.reset(); // a step to a value without noise is no probe's record
  return judge_run(std::move(input));
}

} // namespace

TEST_CASE("a hold does not reach across a clock that was set, however little") {
  const double whole = judged_log({{"log.csv", bag_log(-1, 0)}}).probes.at(0).hold_minutes;
  CHECK(whole > 14 * 60);
  for (const int jump_s : {-600, -30, 130, -86400 * 365 * 20}) {
    CAPTURE(jump_s);
    const RunReport report = judged_log({{"log.csv", bag_log(8 * 60, jump_s)}});
    REQUIRE(report.logs.at(0).clock_events.size() == 1);
    CHECK(report.probes.at(0).hold_minutes < 9 * 60);
    CHECK(report.probes.at(0).F_minutes <= judged_log({{"log.csv", bag_log(-1, 0)}}).probes.at(0).F_minutes);
    CHECK(report.probes.at(0).not_credited_minutes > 0);
  }
  // Just short: readings that were missed, which the rules of gaps judge.
  const RunReport missed = judged_log({{"log.csv", bag_log(8 * 60, 120)}});
  CHECK(missed.logs.at(0).clock_events.empty());
  CHECK(missed.probes.at(0).hold_minutes > 14 * 60);
}

TEST_CASE("two files of one run with the same column are told apart by the names of the files") {
  const RunReport report = judged_log(
      {{"a/rear.csv", bag_log(-1, 0, 60, "Temp (C)")}, {"a/front.csv", bag_log(-1, 0, 420, "Temp (C)")}});
  REQUIRE(report.probes.size() == 2);
  CHECK(test::probe_of(report, "rear Temp").hold_minutes > 14 * 60);
  // Seven minutes between readings join as well as one minute does, for the file's own interval counts.
  CHECK(test::probe_of(report, "front Temp").hold_minutes > 14 * 60);
  CHECK(report.logs.at(0).interval_s == 60);
  CHECK(report.logs.at(1).interval_s == 420);
  CHECK(report.logs.at(1).understanding.columns.at(1).name == "front Temp");
  CHECK(report.logs.at(1).understanding.columns.at(1).kind.evidence.find("another log") != std::string::npos);
}

TEST_CASE("several logs of times of day alone need their date") {
  const std::string clocks = "Time,Core (C)\n14:00:00,96\n14:01:00,96\n";
  CHECK_THROWS_AS((void)judged_log({{"a.csv", clocks}, {"b.csv", clocks}}), UserError);
}

} // namespace coldbag
