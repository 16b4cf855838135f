// One criterion at a time: what decides it and what it may not be decided by.
#include "run/made_run.h"
#include "support/approx.h"

#include <doctest/doctest.h>

using namespace coldbag;
using namespace coldbag::test;

namespace {

constexpr double hour_s = 3600;

TreatmentCriterion criterion(Measure measure, double required) {
  TreatmentCriterion one;
  one.name = "asked";
  one.measure = measure;
  one.required = required;
  return one;
}

RunInput asking(const TreatmentCriterion& one, double u_K = 0) {
  RunInput input = made_run("pasteurize_straw_aerated", stated_options(u_K));
  input.treatment->criteria = {one};
  return input;
}

Trace steady(double degC, double end_s) {
  return trace_of(3, end_s, [degC](double) { return degC; });
}

void set_between(Trace& trace, std::size_t probe, double from_s, double to_s, double degC) {
  for (std::size_t row = 0; row < trace.time_s.size(); ++row)
    if (trace.time_s[row] > from_s && trace.time_s[row] < to_s) trace.degC[probe][row] = degC;
}

} // namespace

TEST_CASE("bags that were hot one after the other were never hot together") {
  Trace trace = steady(70, 4 * hour_s);
  set_between(trace, 0, -1, 2 * hour_s, 30);
  set_between(trace, 1, 2 * hour_s, 1e9, 30);
  CHECK(passes(judged(asking(criterion(Measure::hold, 60)), trace)));
  const RunReport report = judged(asking(criterion(Measure::all_hot, 60)), trace);
  CHECK(report.verdict == Verdict::unproven);
  CHECK(*criterion_of(report, "asked").delivered < 10);
  CHECK(*report.all_hot_minutes < 10);
  CHECK(passes(judged(asking(criterion(Measure::all_hot, 60)), steady(70, 2 * hour_s))));
}

TEST_CASE("the time all bags were hot at once is told whatever the treatment asks") {
  Trace trace = steady(70, 4 * hour_s);
  set_between(trace, 0, -1, 1 * hour_s, 30);
  set_between(trace, 1, 3 * hour_s, 1e9, 30);
  const RunReport report = judged(asking(criterion(Measure::hold, 60)), trace);
  // The running mean and the crossings take up to ten minutes at either end.
  CHECK(within(*report.all_hot_minutes, 120, 20));
  CHECK(*report.all_hot_minutes <= probe_of(report, "Probe 1").hold_minutes);
  set_between(trace, 1, -1, 1e9, not_there);
  CHECK_FALSE(judged(asking(criterion(Measure::hold, 60)), trace).all_hot_minutes);
  RunOptions options = stated_options();
  options.in_bag.clear();
  CHECK_FALSE(judged(made_run("pasteurize_straw_aerated", options), steady(70, hour_s)).all_hot_minutes);
}

TEST_CASE("minutes at or above a level are bounded by the lowered trace") {
  TreatmentCriterion one = criterion(Measure::minutes_at_or_above, 60);
  one.level_degC = 69;
  CHECK(passes(judged(asking(one, 0.5), steady(70, 2 * hour_s))));
  CHECK(judged(asking(one, 1.0), steady(70, 2 * hour_s)).verdict == Verdict::unproven); // k u = 1.645 K
}

TEST_CASE("a treatment that asks no heat passes nothing") {
  TreatmentCriterion limit = criterion(Measure::top, 93);
  limit.sense = Sense::below;
  CHECK(judged(asking(limit), steady(70, hour_s)).verdict == Verdict::unproven);
  TreatmentCriterion wish = criterion(Measure::hold, 30);
  wish.fails = false;
  CHECK(judged(asking(wish), steady(70, hour_s)).verdict == Verdict::unproven);
}

TEST_CASE("the bag that is short decides, not the one that is long enough") {
  Trace trace = steady(70, 2 * hour_s);
  set_between(trace, 1, -1, 1.5 * hour_s, 40);
  const RunReport report = judged(asking(criterion(Measure::hold, 60)), trace);
  CHECK(report.verdict == Verdict::fail);
  CHECK(criterion_of(report, "asked").decided_by == "Probe 2");
  CHECK(report.coldest == "Probe 2");
}

TEST_CASE("probes of unstated place tell a miss but never a pass") {
  RunOptions options = stated_options();
  options.in_bag.clear();
  options.vessel.clear();
  const auto run = [&](double degC) {
    return judged(made_run("pasteurize_straw_aerated", options), steady(degC, 2 * hour_s));
  };
  CHECK(run(70).verdict == Verdict::unproven);
  CHECK(run(60).verdict == Verdict::fail);
}

TEST_CASE("a gap never shows that a run was short when the hotter reading would have done") {
  Trace trace = steady(70, 1.5 * hour_s);
  set_between(trace, 0, 1200, 1200 + 2400, not_there);
  const RunReport report = judged(asking(criterion(Measure::hold, 60)), trace);
  CHECK(report.verdict == Verdict::unproven);
  CHECK(criterion_of(report, "asked").status == Status::unproven);
}

TEST_CASE("the vessel's own heat does not stand in for the bags'") {
  Trace trace = steady(40, 2 * hour_s);
  set_between(trace, 2, -1, 1e9, 90);
  CHECK(judged(asking(criterion(Measure::hold, 60)), trace).verdict == Verdict::fail);
}
