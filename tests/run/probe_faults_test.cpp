// What faults of probes do to a verdict: a stretch earns nothing, a probe that is not believed proves
// nothing. No outside figures.
#include "run/made_run.h"
#include "run/run_report_json.h"
#include "support/approx.h"
#include "support/made_probes.h"

#include <doctest/doctest.h>

#include <tbb/global_control.h>

#include <functional>
#include <random>

using namespace coldbag;
using namespace coldbag::test;

namespace {

constexpr std::size_t bag = 1;
constexpr std::size_t noon = 300; // row of the plateau

MadePlan two_bags(unsigned seed = 1) {
  MadePlan plan;
  plan.seed = seed;
  plan.bags = 2;
  plan.hours = 9;
  plan.steam_off_h = 7.5;
  plan.steam_degC = 75;
  plan.wave_K = 0.3;
  return plan;
}

// Aerated straw wants 1 h at 65 C; straw wants 2 h at 71 C and the hottest place under 93 C.
RunInput checked(const std::string& treatment, RunOptions options = stated_options(0.3)) {
  static const CheckLimits limits = read_check_limits(TableFiles::built_in());
  RunInput input = made_run(treatment, std::move(options));
  input.check_limits = limits;
  return input;
}

const RunInput& straw() {
  static const RunInput input = checked("pasteurize_straw_aerated");
  return input;
}

RunReport judged(const RunInput& input, const MadeReadings& made) {
  return coldbag::test::judged(input, {made.time_s, made.degC});
}

RunInput unchecked(RunInput input) {
  input.check_limits.reset();
  return input;
}

std::string kinds(const ProbeResult& probe) {
  std::string all;
  for (const Fault& fault : probe.faults)
    all += (all.empty() ? "" : " ") + fault.kind;
  return all;
}

bool blocks(const RunReport& report, const std::string& kind) {
  return std::any_of(report.blocks.begin(), report.blocks.end(), [&](const Said& block) {
    return block.key == "block_fault" && std::get<std::string>(block.values.at("fault")) == kind;
  });
}

std::vector<double> another_steam_probe() {
  return made_readings(two_bags(77)).steam();
}

void hold_still(MadeReadings& made, std::size_t from, std::size_t to) {
  for (std::size_t row = from; row < to; ++row)
    made.degC[bag][row] = made.degC[bag][from];
}

} // namespace

TEST_CASE("checks leave a clean run as it is, to the last digit") {
  const MadeReadings made = made_readings(two_bags());
  RunReport report = judged(straw(), made);
  CHECK(passes(report));
  RunReport not_checked = judged(unchecked(straw()), made);
  report.curves = not_checked.curves = {}; // what is drawn has been through the checks
  CHECK(report_json(report) == report_json(not_checked));
}

TEST_CASE("a spike costs its own minutes and nothing else") {
  const MadeReadings clean = made_readings(two_bags());
  MadeReadings made = clean;
  made.degC[bag][noon] += 20;
  const RunReport report = judged(straw(), made);
  const ProbeResult& probe = probe_of(report, "Probe 2");
  const ProbeResult before = probe_of(judged(straw(), clean), "Probe 2");
  CHECK(kinds(probe) == "spike");
  CHECK(passes(report));
  CHECK(within(probe.not_credited_minutes, 2, 1e-9));
  CHECK(within(before.hold_minutes - probe.hold_minutes, 2, 0.3)); // the mean ends on both sides of it
  CHECK(probe.F_minutes < before.F_minutes);
  CHECK(within(*probe.top_degC, *before.top_degC, 0));
  // As read, the spike would have counted.
  CHECK(probe_of(judged(unchecked(straw()), made), "Probe 2").F_minutes > before.F_minutes);
}

TEST_CASE("a stuck probe earns nothing for the stretch, and a long one breaks the hold") {
  const MadeReadings clean = made_readings(two_bags());
  MadeReadings made = clean;
  hold_still(made, noon, noon + 100);
  const ProbeResult probe = probe_of(judged(straw(), made), "Probe 2");
  const ProbeResult before = probe_of(judged(straw(), clean), "Probe 2");
  CHECK(kinds(probe) == "stuck");
  CHECK(within(probe.not_credited_minutes, 100, 1.1));
  CHECK(probe.hold_minutes < before.hold_minutes - 100); // broken in two
  CHECK(probe.hold_total_minutes > probe.hold_minutes);
}

TEST_CASE("a bag whose probe is not believed counts as not probed: no pass, and the report says why first") {
  MadeReadings made = made_readings(two_bags());
  made.degC[bag] = another_steam_probe();
  const RunReport report = judged(straw(), made);
  CHECK(report.verdict == Verdict::unproven);
  CHECK(blocks(report, "never_in_bag"));
  CHECK(report.next.front().key == "next_block_fault");
  CHECK(report.coldest == "Probe 1");
  CHECK(report.reach.probed_bags == 1);
  CHECK(passes(judged(unchecked(straw()), made)));
}

TEST_CASE("a doubt about the unit takes nothing off, and seeing to it is the first advice") {
  MadePlan warm = two_bags();
  warm.start_degC = 43;
  MadeReadings made = made_readings(warm);
  for (auto& column : made.degC)
    for (double& degC : column)
      degC = rounded((degC - 32) / 1.8, 0.1);
  const RunReport report = judged(straw(), made);
  CHECK(report.verdict == Verdict::fail);
  REQUIRE(!report.next.empty());
  CHECK(report.next.front().key == "next_see_unit");
  const RunReport sound = judged(straw(), made_readings(warm));
  CHECK(passes(sound));
  CHECK(std::none_of(sound.next.begin(), sound.next.end(),
                     [](const Said& said) { return said.key == "next_see_unit"; }));
}

TEST_CASE("where no bag is left to believe, nothing passes and nothing is the coldest") {
  MadeReadings made = made_readings(two_bags());
  for (std::size_t probe = 0; probe < 2; ++probe)
    for (double& degC : made.degC[probe])
      degC = rounded(degC * 1.8 + 32, 0.1);
  const RunReport report = judged(straw(), made);
  CHECK(report.verdict == Verdict::unproven);
  CHECK(report.coldest.empty());
  CHECK(kinds(probe_of(report, "Probe 1")) == "wrong_unit");
}

TEST_CASE(
    "a fault that hides the end of a bag leaves the run unproven, a short hold that was seen is missed") {
  const RunInput input = checked("pasteurize_straw_aerated");
  MadeReadings made = made_readings(two_bags());
  for (std::size_t row = 120; row < made.time_s.size(); ++row)
    made.degC[bag][row] = not_there; // still warming
  CHECK(judged(input, made).verdict == Verdict::unproven);
  MadePlan brief = two_bags();
  brief.steam_off_h = 1.6;
  CHECK(judged(input, made_readings(brief)).verdict == Verdict::fail);
}

TEST_CASE("a faulty steam probe takes nothing from bags that are proven") {
  MadeReadings made = made_readings(two_bags());
  for (std::size_t row = noon; row < noon + 40; ++row)
    made.steam()[row] = not_there;
  const RunReport report = judged(straw(), made);
  CHECK(kinds(probe_of(report, "Probe 3")) == "dropout");
  CHECK(passes(report));
}

TEST_CASE("what is set aside never proves that an upper limit was kept") {
  const RunInput input = checked("pasteurize_straw");
  MadePlan plan = two_bags();
  plan.steam_degC = 78;
  const MadeReadings clean = made_readings(plan);
  CHECK(passes(judged(input, clean)));
  MadeReadings spike = clean; // hotter than the limit, and not believed
  spike.steam()[noon] = 120;
  CHECK(judged(input, spike).verdict == Verdict::unproven);
  MadeReadings unit = clean;
  for (double& degC : unit.steam())
    degC = rounded(degC * 1.8 + 32, 0.1);
  const RunReport report = judged(input, unit);
  CHECK(kinds(probe_of(report, "Probe 3")) == "wrong_unit");
  CHECK_FALSE(passes(report));
}

TEST_CASE("where the steam may be hotter at a probe that is set aside, the others do not bound it") {
  RunOptions options = stated_options(0.3);
  options.in_bag = {"Probe 1"};
  options.vessel = {"Probe 2", "Probe 3"};
  const RunInput input = checked("pasteurize_straw", options);
  MadePlan plan = two_bags();
  plan.steam_degC = 78;
  MadeReadings made = made_readings(plan);
  plan.seed = 78;
  made.degC[1] = made_readings(plan).steam();
  CHECK(passes(judged(input, made)));
  for (double& degC : made.steam())
    degC = rounded((degC + 20 - 32) / 1.8, 0.1); // in range, so none of it is withheld
  const RunReport report = judged(input, made);
  CHECK(kinds(probe_of(report, "Probe 3")) == "wrong_unit");
  CHECK(kinds(probe_of(report, "Probe 1")).empty());
  CHECK(report.verdict == Verdict::unproven);
}

TEST_CASE("setting a probe aside for a fault never makes a pass") {
  std::mt19937_64 random(21);
  const auto between = [&](double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(random);
  };
  const std::function<void(MadeReadings&, std::size_t)> spoilers[] = {
      [](MadeReadings& made, std::size_t probe) { made.degC[probe] = another_steam_probe(); },
      [](MadeReadings& made, std::size_t probe) { std::swap(made.degC[probe], made.steam()); },
      [](MadeReadings& made, std::size_t probe) { made.degC[probe] = made.degC[1 - probe]; },
      [](MadeReadings& made, std::size_t probe) {
        for (double& degC : made.degC[probe])
          degC = rounded(degC * 1.8 + 32, 0.1);
      },
      [&](MadeReadings& made, std::size_t probe) {
        const double K = between(4, 9);
        for (std::size_t row = 0; row < made.time_s.size(); ++row)
          made.degC[probe][row] = rounded(made.degC[probe][row] + K * static_cast<double>(row) /
                                                                      static_cast<double>(made.time_s.size()),
                                          0.1);
      },
      [](MadeReadings& made, std::size_t) {
        for (double& degC : made.steam())
          degC = rounded(degC * 1.8 + 32, 0.1);
      },
  };
  int set_aside = 0;
  int passed = 0;
  const char* treatments[] = {"pasteurize_straw_aerated", "pasteurize_straw"};
  const RunInput inputs[] = {checked(treatments[0]), checked(treatments[1])};
  for (int i = 0; i < cases(120, 2000); ++i) {
    MadePlan plan = two_bags(static_cast<unsigned>(i));
    plan.steam_degC = between(66, 96);
    plan.steam_off_h = between(1.5, 7);
    MadeReadings made = made_readings(plan);
    spoilers[static_cast<std::size_t>(i) % std::size(spoilers)](made, random() % 2);
    const RunInput& input = inputs[random() % 2];
    const bool before = passes(judged(unchecked(input), made));
    const RunReport report = judged(input, made);
    CAPTURE(i);
    CHECK((before || !passes(report)));
    passed += before ? 1 : 0;
    for (const ProbeResult& probe : report.probes)
      set_aside += is_relied_on(probe.faults) ? 0 : 1;
  }
  CHECK(passed > 20);
  CHECK(set_aside > 60);
}

namespace {

std::string faulty_log(unsigned seed, const std::string& columns) {
  MadePlan plan = two_bags(seed);
  plan.bags = 1;
  plan.interval_s = 20;
  MadeReadings made = made_readings(plan);
  std::mt19937 random(seed);
  for (int f = 0; f < 12; ++f) {
    const std::size_t from = random() % made.time_s.size();
    const std::size_t to = std::min(made.time_s.size(), from + 1 + random() % 120);
    auto& column = made.degC[random() % 2];
    for (std::size_t row = from; row < to; ++row)
      column[row] = f % 3 == 0 ? not_there : (f % 3 == 1 ? column[from] : column[row] + 0.5);
    column[from] += f % 2 == 0 ? 0 : 30;
  }
  std::string text = columns;
  for (std::size_t row = 0; row < made.time_s.size(); ++row) {
    text += "\n" + std::to_string(static_cast<int>(made.time_s[row]));
    for (const auto& column : made.degC)
      text += std::isnan(column[row]) ? "," : "," + std::to_string(column[row]);
  }
  return text + "\n";
}

RunInput two_faulty_logs() {
  RunRequest request;
  request.options = stated_options(0.1);
  request.options.treatment = "pasteurize_straw_aerated";
  request.options.in_bag = {"A", "C"};
  request.options.vessel = {"B", "D"};
  request.logs = {Source::memory("one.csv", faulty_log(1, "time (s),A (C),B (C)")),
                  Source::memory("two.csv", faulty_log(2, "time (s),C (C),D (C)"))};
  return open_run(std::move(request), TableFiles::built_in());
}

std::string json_in_order(const std::vector<int>& order, int block_rows, bool ask_on_the_way = false) {
  const RunInput input = two_faulty_logs();
  Judge judge(input);
  std::vector<std::vector<CellTally>> unread(2);
  for (const int log : order)
    unread[static_cast<std::size_t>(log)] = input.logs[static_cast<std::size_t>(log)].log.for_each_block(
        [&](const RowBlock& block) {
          judge.take(log, block);
          if (ask_on_the_way) (void)judge.report();
        },
        block_rows);
  return report_json(judge.finish(unread));
}

} // namespace

TEST_CASE("faults are the same for every block size, number of threads and order of logs") {
  const std::string once = json_in_order({0, 1}, 4096);
  for (const char* kind : {"\"spike\"", "\"dropout\"", "\"stuck\""})
    CHECK(once.find(kind) != std::string::npos);
  CHECK(json_in_order({0, 1}, 1) == once);
  CHECK(json_in_order({1, 0}, 7) == once);
  CHECK(json_in_order({0, 1}, 100, true) == once);
  for (const std::size_t threads : {1U, 2U}) {
    const tbb::global_control control(tbb::global_control::max_allowed_parallelism, threads);
    CHECK(json_in_order({0, 1}, 4096) == once);
  }
}
