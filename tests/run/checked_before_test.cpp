// A log's beginning that is cut away counts no heat, but what it tells of the probes counts. Invented runs.
#include "run/judge.h"
#include "run/made_run.h"
#include "run/one_run.h"
#include "support/made_probes.h"

#include <doctest/doctest.h>

#include <fmt/format.h>

using namespace coldbag;
using namespace coldbag::test;

namespace {

MadePlan plan_of(unsigned seed) {
  MadePlan plan;
  plan.seed = seed;
  plan.bags = 2;
  plan.hours = 17;
  plan.steam_off_h = 15.5;
  plan.wave_K = 0.3;
  return plan;
}

std::string log_text(const std::vector<MadeReadings>& runs) {
  std::string text = "time (s),core 1 (C),core 2 (C),steam (C)\n";
  double from_s = 0;
  for (const MadeReadings& made : runs) {
    for (std::size_t row = 0; row < made.time_s.size(); ++row)
      text += fmt::format("{:.0f},{:.1f},{:.1f},{:.1f}\n", from_s + made.time_s[row], made.degC[0][row],
                          made.degC[1][row], made.degC[2][row]);
    from_s += made.time_s.back() + 3600;
  }
  return text;
}

// Probe 2 hangs in the steam: another probe there, read by itself.
MadeReadings with_one_outside(unsigned seed) {
  MadeReadings made = made_readings(plan_of(seed));
  made.degC[1] = made_readings(plan_of(seed + 100)).steam();
  return made;
}

RunReport judged_from(const std::string& log, std::optional<double> from_h) {
  RunRequest request;
  request.options = stated_options(0.3);
  request.options.in_bag = {"core 1", "core 2"};
  request.options.vessel = {"steam"};
  request.options.treatment = "atmospheric_steam";
  if (from_h) {
    request.options.from.emplace();
    request.options.from->elapsed_s = *from_h * 3600;
  }
  request.logs.push_back(Source::memory("made.csv", log));
  return judge_run(open_run(std::move(request), TableFiles::built_in()));
}

bool has_fault(const RunReport& report, const std::string& probe, const std::string& kind) {
  const auto& faults = probe_of(report, probe).faults;
  return std::any_of(faults.begin(), faults.end(), [&](const Fault& fault) { return fault.kind == kind; });
}

} // namespace

TEST_CASE("cutting the come-up away hides no probe that was never in its bag") {
  const std::string log = log_text({with_one_outside(3)});
  for (const auto& from_h : {std::optional<double>{}, std::optional<double>{2.5}}) {
    const RunReport report = judged_from(log, from_h);
    CHECK(has_fault(report, "core 2", "never_in_bag"));
    CHECK(report.verdict == Verdict::unproven);
  }
}

TEST_CASE("a sound run passes with its beginning cut away, and earns only from there on") {
  const std::string log = log_text({made_readings(plan_of(3))});
  const RunReport whole = judged_from(log, {});
  const RunReport cut = judged_from(log, 2.9);
  CHECK(passes(whole));
  CHECK(passes(cut));
  CHECK(probe_of(cut, "core 1").hold_minutes < probe_of(whole, "core 1").hold_minutes);
  CHECK(*probe_of(cut, "core 1").stayed_from_s >= 2.9 * 3600);
  for (const ProbeResult& probe : cut.probes)
    CHECK(probe.faults.empty());
}

TEST_CASE("what a probe did in an earlier run of the log is not held against the run that is chosen") {
  const double second_h = 18; // the second run begins there
  const std::string log = log_text({with_one_outside(3), made_readings(plan_of(5))});
  const RunReport second = judged_from(log, second_h + 2.9);
  CHECK(second.runs.empty());
  CHECK(passes(second));
  const std::string reversed = log_text({made_readings(plan_of(3)), with_one_outside(5)});
  CHECK(has_fault(judged_from(reversed, second_h + 2.9), "core 2", "never_in_bag"));
}

TEST_CASE("checks begin half-way behind the run before the one that is judged") {
  const std::vector<Stretch> runs = {{100, 200, 0}, {300, 400, 0}, {500, 600, 0}};
  CHECK(checked_from_s(runs, 350) == 250);
  CHECK(checked_from_s(runs, 260) == 250);
  CHECK(checked_from_s(runs, 240) == 240); // before it: nothing of the run is cut away
  CHECK(checked_from_s(runs, 1000) == 450);
  CHECK(checked_from_s(runs, 150) < -1e9);
  CHECK(checked_from_s({}, 150) < -1e9);
}
