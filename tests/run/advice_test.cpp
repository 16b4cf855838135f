// How much longer to hold: the minutes said are tried by appending the rows.
#include "run/made_run.h"
#include "support/approx.h"

#include <doctest/doctest.h>

using namespace coldbag;
using namespace coldbag::test;

namespace {

RunOptions running(double u_K) {
  RunOptions options = stated_options(u_K);
  options.is_running = true;
  return options;
}

Trace steady(double degC, double end_s) {
  return trace_of(
      3, end_s, [degC](double) { return degC; }, 30);
}

// Same, with a last reading at a time that is no whole step.
Trace steady_until(double degC, double end_s) {
  Trace trace = steady(degC, end_s);
  if (trace.time_s.back() < end_s) {
    trace.time_s.push_back(end_s);
    for (auto& column : trace.degC)
      column.push_back(degC);
  }
  return trace;
}

bool says(const RunReport& report, const std::string& key) {
  return std::any_of(report.next.begin(), report.next.end(), [&](const Said& s) { return s.key == key; });
}

} // namespace

TEST_CASE("holding for the minutes said is enough, and a minute less is not") {
  struct Row {
    const char* treatment;
    double degC, so_far_s;
  };
  for (const Row& row : {Row{"atmospheric_steam", 96, 5 * 3600}, Row{"sterilize", 121.5, 600}}) {
    CAPTURE(row.treatment);
    const RunInput input = made_run(row.treatment, running(0.3));
    const RunReport now = judged(input, steady(row.degC, row.so_far_s));
    REQUIRE(now.more_hold.possible);
    REQUIRE(now.more_hold.minutes > 1);
    CHECK(now.so_far == SoFar::not_yet);
    CHECK(says(now, "next_keep_on"));
    CHECK(within(*now.more_hold.until_s, row.so_far_s + 60 * now.more_hold.minutes, 1e-6));
    const double until_s = *now.more_hold.until_s;
    // A microsecond for the rounding of the sum.
    CHECK(judged(input, steady_until(row.degC, until_s + 1e-6)).so_far == SoFar::enough);
    CHECK(judged(input, steady_until(row.degC, until_s - 60)).so_far == SoFar::not_yet);
  }
}

TEST_CASE("no time is enough where the lowered trace stays below the setpoint") {
  const RunReport report = judged(made_run("atmospheric_steam", running(0.5)), steady(88.5, 3600));
  CHECK_FALSE(report.more_hold.possible);
  REQUIRE(report.more_hold.why_not);
  CHECK(report.more_hold.why_not->key == "why_not_below_setpoint");
  CHECK(says(report, "next_not_hot_enough_yet"));
}

TEST_CASE("once the door was opened no more holding is advised") {
  RunOptions options = stated_options(0.1);
  options.events = {event_at(EventKind::door_opened, 1800)};
  const RunReport report = judged(made_run("atmospheric_steam", options), steady(96, 7200));
  CHECK_FALSE(report.more_hold.possible);
  REQUIRE(report.more_hold.why_not);
  CHECK(report.more_hold.why_not->key == "why_not_opened");
  CHECK(says(report, "next_opened_hold_apart"));
}

TEST_CASE("enough so far says so, and asks for no more") {
  const RunReport report = judged(made_run("pasteurize_straw_aerated", running(0.1)), steady(70, 7200));
  CHECK(says(report, "next_enough_so_far"));
  CHECK(report.more_hold.minutes == 0);
}
