// What the judge says of a run as a whole, and that no way of handing rows over changes a digit of it.
#include "run/made_run.h"
#include "run/run_report_json.h"
#include "support/approx.h"

#include <doctest/doctest.h>

#include <tbb/global_control.h>

#include <random>

using namespace coldbag;
using namespace coldbag::test;

namespace {

constexpr double hour_s = 3600;

// Aerated straw wants 1 h at 65 C.
RunInput straw(const RunOptions& options = stated_options(0.1)) {
  return made_run("pasteurize_straw_aerated", options);
}

Trace steady(double degC, double end_s) {
  return trace_of(3, end_s, [degC](double) { return degC; });
}

std::string noisy_log(int seed, const std::string& columns) {
  std::mt19937 random(static_cast<unsigned>(seed));
  std::normal_distribution<double> noise(0, 0.2);
  std::string text = columns;
  for (int row = 0; row < 9000; ++row) {
    text += "\n" + std::to_string(row * 2);
    for (int p = 0; p < 2; ++p)
      text += row % 997 == 5 ? "," : "," + std::to_string(60 + 8 * std::sin(row / 3000.0) + noise(random));
  }
  return text + "\n";
}

RunInput two_logs() {
  RunRequest request;
  request.options = stated_options(0.1);
  request.options.treatment = "pasteurize_straw_aerated";
  request.options.in_bag = {"A", "B", "C"};
  request.options.vessel = {"D"};
  request.logs = {Source::memory("one.csv", noisy_log(1, "time (s),A (C),B (C)")),
                  Source::memory("two.csv", noisy_log(2, "time (s),C (C),D (C)"))};
  return open_run(std::move(request), TableFiles::built_in());
}

std::string json_in_order(const std::vector<int>& order, int block_rows) {
  const RunInput input = two_logs();
  Judge judge(input);
  std::vector<std::vector<CellTally>> unread(2);
  for (const int log : order)
    unread[static_cast<std::size_t>(log)] = input.logs[static_cast<std::size_t>(log)].log.for_each_block(
        [&](const RowBlock& block) { judge.take(log, block); }, block_rows);
  return report_json(judge.finish(unread));
}

} // namespace

TEST_CASE("block size, threads and the order of logs change no digit") {
  const std::string once = json_in_order({0, 1}, 4096);
  CHECK(json_in_order({0, 1}, 1) == once);
  CHECK(json_in_order({0, 1}, 7) == once);
  CHECK(json_in_order({1, 0}, 4096) == once);
  for (const std::size_t threads : {1U, 2U}) {
    const tbb::global_control control(tbb::global_control::max_allowed_parallelism, threads);
    CHECK(json_in_order({0, 1}, 4096) == once);
  }
}

TEST_CASE("a report on the way changes nothing, and the last one is what finish says") {
  const Trace trace = steady(70, 2 * hour_s);
  Judge asked(straw());
  Judge silent(straw());
  for (std::size_t row = 0; row < trace.time_s.size(); row += 5) {
    asked.take(0, block_of(trace, row, 5));
    silent.take(0, block_of(trace, row, 5));
    (void)asked.report();
  }
  const RunReport last = asked.report();
  CHECK(last == asked.finish({{}}));
  CHECK(report_json(last) == report_json(silent.finish({{}})));
}

TEST_CASE("a running run is not yet enough, then enough so far, and never a pass") {
  RunOptions options = stated_options(0.1);
  options.is_running = true;
  const RunReport early = judged(straw(options), steady(70, 0.5 * hour_s));
  CHECK(early.ended == Ended::no);
  CHECK(early.so_far == SoFar::not_yet);
  CHECK(early.verdict == Verdict::unproven);
  const RunReport late = judged(straw(options), steady(70, 1.1 * hour_s));
  CHECK(late.so_far == SoFar::enough);
  CHECK(late.verdict == Verdict::unproven);
  CHECK(exit_status(late) == 2);
}

TEST_CASE("a run has ended when steam went off, the door opened or the vessel fell; else nobody knows") {
  CHECK(judged(straw(), steady(70, hour_s)).ended == Ended::unknown);
  const auto cools = [](double t) { return t < hour_s ? 70.0 : 70 - (t - hour_s) / 60; };
  CHECK(judged(straw(), trace_of(3, 2 * hour_s, cools)).ended == Ended::yes);
  for (const EventKind kind :
       {EventKind::steam_off, EventKind::opened, EventKind::door_opened, EventKind::unloaded}) {
    RunOptions options = stated_options(0.1);
    options.events = {event_at(kind, hour_s)};
    CHECK(judged(straw(options), steady(70, 2 * hour_s)).ended == Ended::yes);
  }
}

TEST_CASE("what is heated after the door was opened counts for nothing") {
  RunOptions options = stated_options(0.1);
  options.events = {event_at(EventKind::door_opened, 0.5 * hour_s)};
  const RunReport report = judged(straw(options), steady(70, 3 * hour_s));
  CHECK(report.verdict == Verdict::fail);
  CHECK(report.failed_by == "too_little");
  CHECK(within(probe_of(report, "Probe 1").hold_minutes, 30, 1e-9));
  CHECK(passes(judged(straw(), steady(70, 3 * hour_s))));
}

TEST_CASE("a failed run says by what") {
  const auto by = [](const char* treatment, double degC, double end_s) {
    return judged(made_run(treatment, stated_options(0.1)), steady(degC, end_s));
  };
  CHECK(by("pasteurize_straw", 75, 3 * hour_s).failed_by == "");
  CHECK(by("pasteurize_straw", 75, hour_s).failed_by == "too_little");
  CHECK(by("pasteurize_straw", 95, 3 * hour_s).failed_by == "too_much");
  CHECK(by("pasteurize_straw", 95, hour_s).failed_by == "both");
}

TEST_CASE("each unanswered question alone keeps a run from a pass") {
  const Trace trace = steady(70, 3 * hour_s);
  CHECK(passes(judged(straw(), trace)));
  const auto refused = [&](const RunOptions& options, const char* key) {
    const RunReport report = judged(straw(options), trace);
    CHECK(report.verdict == Verdict::unproven);
    REQUIRE(report.blocks.size() == 1);
    CHECK(report.blocks.front().key == key);
  };
  RunOptions options = stated_options(0.1);
  options.vessel_kind.reset();
  refused(options, "block_vessel_kind");
  options.vessel_kind = VesselKind::pressure_rated;
  refused(options, "block_rating");
  options = stated_options(0.1);
  options.altitude_m.reset();
  refused(options, "block_altitude");
  options = stated_options(0.1);
  options.left_out = {"Probe 1"};
  refused(options, "block_left_out");
  options = stated_options(0.1);
  options.in_bag.clear(); // nobody said where the probes were
  refused(options, "block_no_bag_probe");
}

TEST_CASE("bags of a film nobody stated never pass") {
  RunRequest request;
  request.site = NamedText{"site.toml", "[site]\nname = \"invented\"\naltitude = \"0 m\"\nzone = \"UTC\"\n"
                                        "[vessels.room]\nkind = \"vented\"\n[bags.brick]\nmass = \"2 kg\"\n"};
  request.options = stated_options(0.1);
  request.options.treatment = "pasteurize_straw_aerated";
  request.logs.push_back(Source::memory("made.csv", made_log_text(3)));
  const RunReport report =
      judged(open_run(std::move(request), TableFiles::built_in()), steady(70, 3 * hour_s));
  CHECK(report.verdict == Verdict::unproven);
  CHECK(std::any_of(report.blocks.begin(), report.blocks.end(),
                    [](const Said& s) { return s.key == "block_film"; }));
}

TEST_CASE("times written by hand take ten minutes off the bound of a hold") {
  RunOptions options = stated_options(0.1);
  const Trace trace = steady(70, 1.1 * hour_s);
  const RunReport logged = judged(straw(options), trace);
  options.by_hand = true;
  const RunReport written = judged(straw(options), trace);
  CHECK(within(probe_of(logged, "Probe 1").hold_minutes_lower, 66, 1e-9));
  CHECK(within(probe_of(written, "Probe 1").hold_minutes_lower, 56, 1e-9));
  CHECK(passes(logged));
  CHECK(written.verdict == Verdict::unproven);
}

TEST_CASE("a probe silent for longer than the gap breaks the hold") {
  Trace trace = steady(70, 1.5 * hour_s);
  const auto silent = [&](double from_s, double to_s) {
    Trace t = trace;
    for (std::size_t row = 0; row < t.time_s.size(); ++row)
      if (t.time_s[row] > from_s && t.time_s[row] < to_s) t.degC[0][row] = not_there;
    return probe_of(judged(straw(), t), "Probe 1");
  };
  CHECK(within(silent(1800, 3600).hold_minutes, 90, 1e-9)); // 1,800 s is the longest gap that counts
  CHECK(within(silent(1800, 3660).hold_minutes, 30, 1e-9));
  CHECK(within(silent(1800, 3660).not_credited_minutes, 31, 1e-9));
}

TEST_CASE("a vessel that is still hot while the bags are cold is told") {
  const auto told = [](double vessel_degC) {
    Trace trace = trace_of(3, 3 * 3600, [](double t) { return std::min(20 + t / 60, 70.0); });
    for (std::size_t row = 0; row < trace.time_s.size(); ++row)
      trace.degC[2][row] = std::max(vessel_degC, trace.degC[0][row]);
    const auto notes = judged(made_run("pasteurize_straw_aerated"), trace).notes;
    return std::find(notes.begin(), notes.end(), "note_hot_start") != notes.end();
  };
  CHECK(told(60));
  CHECK_FALSE(told(30));
}

TEST_CASE(
    "a bag that reads further over the boiling point than it may be off makes no pass in a vented vessel") {
  const auto verdict = [](double degC, VesselKind kind) {
    RunOptions options = stated_options(0.3);
    options.vessel_kind = kind;
    options.rating_gauge_Pa = 200e3;
    return judged(made_run("pasteurize_straw_aerated", options),
                  trace_of(3, 3 * 3600, [&](double) { return degC; }))
        .verdict;
  };
  CHECK(verdict(102, VesselKind::vented) == Verdict::pass);
  CHECK(verdict(103, VesselKind::vented) == Verdict::unproven);
  CHECK(verdict(103, VesselKind::pressure_rated) == Verdict::pass);
}

TEST_CASE("a treatment whose figures hold for moist wood says so in the report") {
  RunInput input = made_run("atmospheric_steam");
  const Trace trace = trace_of(3, 3600, [](double) { return 90.0; });
  const auto is_told = [&] {
    const auto notes = judged(input, trace).notes;
    return std::find(notes.begin(), notes.end(), "note_moist_wood") != notes.end();
  };
  CHECK_FALSE(is_told());
  input.treatment->needs_moist_wood_note = true;
  CHECK(is_told());
}
