// What a check of the probes would have to show: the figure said is tried by judging the run it leads to.
#include "run/made_run.h"
#include "run/room.h"
#include "support/approx.h"

#include <doctest/doctest.h>

#include <cmath>

using namespace coldbag;
using namespace coldbag::test;

namespace {

const Said* said(const RunReport& report, const std::string& key) {
  const auto found =
      std::find_if(report.next.begin(), report.next.end(), [&](const Said& s) { return s.key == key; });
  return found == report.next.end() ? nullptr : &*found;
}

double number(const Said& said, const std::string& name) {
  return std::get<double>(said.values.at(name));
}

/// A log in which both bags rise to `top_degC` and stay there for `hours`, then cool; the steam is hotter.
RunInput logged(const std::string& treatment, double top_degC, double hours, const RunOptions& stated) {
  std::string text = "time (min),Probe 1 (C),Probe 2 (C),Probe 3 (C)\n";
  const int end = static_cast<int>(hours * 60 + top_degC - 20) + 30;
  for (int minute = 0; minute <= end; minute += 2) {
    const double degC = std::min({top_degC, 20.0 + minute, top_degC + 60.0 - 2 * (minute - (end - 60))});
    text += std::to_string(minute);
    for (const double more : {0.0, 0.5, 1.0})
      text += "," + std::to_string(degC + more);
    text += "\n";
  }
  RunRequest request;
  request.options = stated;
  if (top_degC > 100) { // only a pressure-rated vessel is believed there
    request.options.vessel_kind = VesselKind::pressure_rated;
    request.options.rating_gauge_Pa = 200e3;
  }
  request.options.treatment = treatment;
  request.logs.push_back(Source::memory("made.csv", text));
  RunInput input = open_run(std::move(request), TableFiles::built_in());
  input.check_limits.reset(); // a record without noise is not believed
  return input;
}

/// The same after a check that showed the bag probes to read this much high.
RunReport after_check(RunInput input, double high_K, double u_K) {
  for (RunProbe& probe : input.probes)
    if (probe.role == ProbeRole::bag) {
      probe.correction.offset_K = -high_K;
      probe.u_K = u_K;
    }
  return judge_run(std::move(input));
}

} // namespace

TEST_CASE(
    "a check that shows what is asked makes the run pass, and one that shows two tenths more does not") {
  struct Row {
    const char* treatment;
    const char* key;
    double top_degC, hours;
  };
  for (const Row& row : {Row{"atmospheric_steam", "next_check_probes", 89.5, 14},
                         Row{"sterilize", "next_check_probes_hotter", 119.9, 0.4}}) {
    CAPTURE(row.treatment);
    const RunInput input = logged(row.treatment, row.top_degC, row.hours, stated_options(1.2));
    const RunReport report = judge_run(input);
    REQUIRE(report.verdict == Verdict::unproven);
    const Said* advised = said(report, row.key);
    REQUIRE(advised != nullptr);
    const double high_K = number(*advised, "high_K");
    const double u_K = number(*advised, "u_K");
    CHECK(high_K > 0);
    CHECK(after_check(input, high_K, u_K).verdict == Verdict::pass);
    CHECK(after_check(input, high_K + 0.2, u_K).verdict != Verdict::pass);
  }
}

TEST_CASE("where there is little room the uncertainty asked for is just enough") {
  const RunInput input = logged("atmospheric_steam", 88.4, 14, stated_options(1.2));
  const RunReport report = judge_run(input);
  REQUIRE(report.verdict == Verdict::unproven);
  const Said* advised = said(report, "next_check_probes_little_room");
  REQUIRE(advised != nullptr);
  const double u_K = number(*advised, "needed_u_K");
  CHECK(u_K > 0.2);
  CHECK(after_check(input, 0, u_K).verdict == Verdict::pass);
  CHECK(after_check(input, 0, u_K + 0.05).verdict != Verdict::pass);
}

TEST_CASE("times written by hand leave less room") {
  RunOptions by_hand = stated_options(1.2);
  by_hand.by_hand = true;
  const auto room = [](const RunInput& input) {
    return room_for_error_K(input, [](RunInput again) { return judge_run(std::move(again)); });
  };
  // Just over twelve hours: ten minutes less are too little at any lowering.
  const double hours = 12.05;
  REQUIRE(room(logged("atmospheric_steam", 89.5, hours, stated_options(1.2))));
  CHECK_FALSE(room(logged("atmospheric_steam", 89.5, hours, by_hand)));
}

TEST_CASE("no check is advised where the trace as it stands does not show enough") {
  RunInput input = logged("atmospheric_steam", 89.5, 12.05, stated_options(1.2));
  input.logs.front().by_hand = true;
  const RunReport report = judge_run(input);
  REQUIRE(report.verdict == Verdict::unproven);
  for (const char* key : {"next_check_probes", "next_check_probes_hotter", "next_check_probes_little_room"})
    CHECK(said(report, key) == nullptr);
}

TEST_CASE("a probe known well enough is not asked for and takes no room from the others") {
  RunInput input = logged("atmospheric_steam", 89.2, 14, stated_options(1.2));
  const auto alone = room_for_error_K(input, [](RunInput again) { return judge_run(std::move(again)); });
  for (RunProbe& probe : input.probes)
    if (probe.name == "Probe 1") probe.u_K = 0.05;
  const auto with_a_good_one =
      room_for_error_K(input, [](RunInput again) { return judge_run(std::move(again)); });
  REQUIRE(alone);
  REQUIRE(with_a_good_one);
  CHECK(*with_a_good_one > *alone + 0.4); // Probe 2 reads half a kelvin hotter and is now what limits
  const RunReport report = judge_run(input);
  REQUIRE(said(report, "next_check_probes") != nullptr);
  CHECK(std::get<std::string>(said(report, "next_check_probes")->values.at("probes")) == "Probe 2");
}

TEST_CASE("what a probe tells against the others counts when it is left out, too") {
  // The bag reads exactly as the steam does: it never was in a bag.
  std::string text = "time (min),Core 1 (C),Vessel (C)\n";
  for (int minute = 0; minute <= 16 * 60; ++minute) {
    const double degC = std::min(97.0, 20 + 0.8 * minute) + 0.1 * (minute * 7 % 3) - (minute > 950 ? 40 : 0);
    const std::string cell = std::to_string(degC).substr(0, 4);
    text += std::to_string(minute) + "," + cell + "," + cell + "\n";
  }
  const auto judged_without = [&](std::vector<std::string> out) {
    RunRequest request;
    request.options.treatment = "atmospheric_steam";
    request.options.in_bag = {"Core 1"};
    request.options.vessel = {"Vessel"};
    request.options.altitude_m = 0;
    request.options.vessel_kind = VesselKind::vented;
    request.options.u_K = 0.1;
    request.options.left_out = std::move(out);
    request.logs.push_back(Source::memory("made.csv", text));
    return judge_run(open_run(std::move(request), TableFiles::built_in()));
  };
  CHECK(judged_without({}).verdict == Verdict::unproven);
  const RunReport without = judged_without({"Vessel"});
  CHECK(without.verdict == Verdict::unproven);
  CHECK(std::any_of(without.blocks.begin(), without.blocks.end(),
                    [](const Said& block) { return block.key == "block_left_out_evidence"; }));
}
