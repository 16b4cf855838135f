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

// Over 100 C only a pressure-rated vessel is believed.
RunOptions in_rated(RunOptions options, double degC) {
  if (degC <= 100) return options;
  options.vessel_kind = VesselKind::pressure_rated;
  options.rating_gauge_Pa = 200e3;
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

const Said* said(const RunReport& report, const std::string& key) {
  for (const Said& s : report.next)
    if (s.key == key) return &s;
  return nullptr;
}

double number(const Said& said, const std::string& name) {
  return std::get<double>(said.values.at(name));
}

Trace with_probes(std::vector<double> degC, double end_s) {
  Trace trace = steady(0, end_s);
  for (std::size_t p = 0; p < degC.size(); ++p)
    std::fill(trace.degC[p].begin(), trace.degC[p].end(), degC[p]);
  return trace;
}

} // namespace

TEST_CASE("holding for the minutes said is enough, and a minute less is not") {
  struct Row {
    const char* treatment;
    double degC, so_far_s;
  };
  for (const Row& row : {Row{"atmospheric_steam", 96, 5 * 3600}, Row{"sterilize", 121.5, 600}}) {
    CAPTURE(row.treatment);
    const RunInput input = made_run(row.treatment, in_rated(running(0.3), row.degC));
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

TEST_CASE("where heat saves time, a second clock time is told, and going on so much hotter is enough") {
  const RunInput input = made_run("sterilize", running(0.3));
  Trace trace = steady(116, 1200);
  const RunReport now = judged(input, trace);
  const Said* hotter = said(now, "next_if_hotter");
  // A vented vessel has the boiling point as its roof.
  CHECK(hotter == nullptr);
  RunOptions rated = running(0.3);
  rated.vessel_kind = VesselKind::pressure_rated;
  rated.rating_gauge_Pa = 200e3;
  const RunInput in_rated = made_run("sterilize", rated);
  const RunReport report = judged(in_rated, trace);
  hotter = said(report, "next_if_hotter");
  REQUIRE(hotter != nullptr);
  CHECK(number(*hotter, "hotter_degC") == 118);
  CHECK(number(*hotter, "until_at") < *report.more_hold.until_s);
  const double until_s = number(*hotter, "until_at");
  const auto going_on_until = [&](double end_s) {
    Trace longer = trace;
    // The step itself takes no time.
    for (const double t : {1200.001, end_s}) {
      longer.time_s.push_back(t);
      for (auto& column : longer.degC)
        column.push_back(118);
    }
    return longer;
  };
  RunInput joined = in_rated;
  joined.treatment->join_s = 1e5; // two readings stand for the stretch between them
  CHECK(judged(joined, going_on_until(until_s + 1)).so_far == SoFar::enough);
  CHECK(judged(joined, going_on_until(until_s - 60)).so_far == SoFar::not_yet);
}

TEST_CASE("where the hold does not count yet, the heat at which it would is told") {
  const RunReport report = judged(made_run("atmospheric_steam", running(0.5)), steady(88.5, 3600));
  const Said* hotter = said(report, "next_if_hotter");
  REQUIRE(hotter != nullptr);
  CHECK(number(*hotter, "hotter_degC") >= 88 + coverage_k * 0.5);
  CHECK(number(*hotter, "more_minutes") == 720);
}

TEST_CASE("a limit on the time spent hot gets its clock time") {
  RunOptions rated = running(0.1);
  rated.vessel_kind = VesselKind::pressure_rated;
  rated.rating_gauge_Pa = 200e3;
  const RunReport report = judged(made_run("sterilize", rated), with_probes({121, 122, 122}, 3600));
  const Said* limit = said(report, "next_not_past");
  REQUIRE(limit != nullptr);
  CHECK(number(*limit, "limit_at") == 5 * 3600);
}

TEST_CASE("where one of several bags fell short, the rest is not steamed again without need") {
  RunOptions options = stated_options(0.1);
  options.events = {event_at(EventKind::steam_off, 50000)};
  const RunInput input = made_run("atmospheric_steam", options);
  const RunReport one = judged(input, with_probes({80, 95, 95}, 50000));
  CHECK(one.verdict == Verdict::fail);
  REQUIRE(says(one, "next_few_bags"));
  CHECK(std::get<std::string>(said(one, "next_few_bags")->values.at("probes")) == "Probe 1");
  CHECK_FALSE(says(one, "next_resteam_load"));
  const RunReport both = judged(input, with_probes({80, 81, 95}, 50000));
  CHECK_FALSE(says(both, "next_few_bags"));
  CHECK(says(both, "next_resteam_load"));
}

TEST_CASE("survivors and bad bags are reckoned from the bound, in each probed bag") {
  RunOptions options = stated_options(0.2);
  options.initial_count = 1e6;
  RunInput input = made_run("atmospheric_steam", options);
  input.moisture_wb = 0.62;
  const RunReport without_more = judged(input, with_probes({95, 96, 96}, 3600));
  // Moisture was set after the meters' rules were known from the run, so it counts here too.
  REQUIRE_FALSE(without_more.survival.empty());
  for (const Survival& s : without_more.survival) {
    double worst = 0;
    double bad = 0;
    int bags = 0;
    for (const ProbeResult& p : without_more.probes)
      for (const OrganismResult& o : p.organisms)
        if (p.role == ProbeRole::bag && o.key == s.organism) {
          const double left = 1e6 * std::pow(10.0, -o.decades_lower);
          worst = std::max(worst, left);
          bad -= std::expm1(-left);
          ++bags;
        }
    CHECK(bags == 2);
    CHECK(s.bags == 2);
    CHECK(relative_error(s.survivors_at_most, worst) < 1e-9);
    CHECK(relative_error(s.expected_bad_bags, bad) < 1e-6);
  }
}

TEST_CASE("a silence near the setpoint leaves an upper limit unproven") {
  RunOptions options = stated_options(0.1);
  RunInput input = made_run("pasteurize_straw", options);
  for (RunProbe& probe : input.probes)
    probe.spot = "hot";
  Trace trace = trace_of(3, 5 * 3600, [](double) { return 75.0; });
  CHECK(passes(judged(input, trace)));
  for (std::size_t row = 0; row < trace.time_s.size(); ++row)
    if (trace.time_s[row] > 600 && trace.time_s[row] < 4000) trace.degC[0][row] = not_there;
  const RunReport silent = judged(input, trace);
  CHECK(criterion_of(silent, "too_hot").status == Status::unproven);
  CHECK(criterion_of(silent, "hold").status == Status::met);
}
