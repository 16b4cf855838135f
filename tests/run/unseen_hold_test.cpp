// What of a hold lies in gaps: it counts as it did, and the report says how much. No outside figures.
#include "report/run_text.h"
#include "run/made_run.h"
#include "support/approx.h"

#include <doctest/doctest.h>

#include <sstream>

using namespace coldbag;
using namespace coldbag::test;

namespace {

constexpr int off_min = 800;

double core_degC(double time_s) {
  const double min = time_s / 60;
  return min < 40 ? 20 + 2 * min : (min < off_min ? 97 : 50);
}

// Readings a minute apart; bag `bag` misses `silent` of them in every 20 min from 60 min on, `gaps` times.
RunReport judged_with(std::size_t bag, int gaps, int silent) {
  Trace trace = trace_of(3, 60.0 * (off_min + 60), core_degC);
  for (int gap = 0; gap < gaps; ++gap)
    for (int row = 0; row < silent; ++row)
      trace.degC[bag][static_cast<std::size_t>(60 + 20 * gap + row)] = not_there;
  return judged(made_run("atmospheric_steam", stated_options(0.3)), trace);
}

std::string first_sentence(const RunReport& report) {
  return run_line(report, Words::read(TableFiles::built_in(), "en"));
}

// Printed text is wrapped; a sentence is sought in it as one line.
std::string on_one_line(const std::string& text) {
  std::istringstream words(text);
  std::string line;
  for (std::string word; words >> word;)
    line += line.empty() ? word : " " + word;
  return line;
}

} // namespace

TEST_CASE("many credited gaps leave the verdict, and stand beside it with their minutes") {
  const RunReport whole = judged_with(0, 0, 0);
  const RunReport report = judged_with(0, 36, 3); // steps of 4 min
  CHECK(passes(whole));
  CHECK(passes(report));
  CHECK(probe_of(report, "Probe 1").hold_minutes == probe_of(whole, "Probe 1").hold_minutes);
  CHECK(within(probe_of(report, "Probe 1").hold_unseen_minutes, 144, 1e-9));
  CHECK(probe_of(report, "Probe 1").hold_unseen_gaps == 36);
  CHECK(probe_of(report, "Probe 2").hold_unseen_minutes == 0);
  REQUIRE(report.unseen_hold);
  CHECK(*report.unseen_hold ==
        UnseenHold{"Probe 1", probe_of(report, "Probe 1").hold_unseen_minutes, 36, true});
  CHECK(first_sentence(report).find("; 36 gaps, 2 h 24 min of the hold were not seen") != std::string::npos);
  CHECK(first_sentence(whole).find("not seen") == std::string::npos);
  CHECK_FALSE(whole.unseen_hold);
}

TEST_CASE(
    "a gap longer than the join counts as unseen too; one that is not credited does not, it is no hold") {
  CHECK(within(probe_of(judged_with(1, 3, 9), "Probe 2").hold_unseen_minutes, 30, 1e-9));
  const RunReport broken = judged_with(1, 1, 60); // an hour, 60 to 120 min in the run
  CHECK(probe_of(broken, "Probe 2").hold_unseen_minutes == 0);
  CHECK(within(probe_of(broken, "Probe 2").not_credited_minutes, 61, 1e-9));
}

TEST_CASE("a little that was not seen is told, but not beside the verdict; one missed reading is nothing") {
  const RunReport little = judged_with(1, 2, 4); // 10 min of 12 h 46 min
  REQUIRE(little.unseen_hold);
  CHECK_FALSE(little.unseen_hold->tells_verdict);
  CHECK(first_sentence(little).find("not seen") == std::string::npos);
  const std::string text = on_one_line(run_text(little, Words::read(TableFiles::built_in(), "en"), {}));
  CHECK(text.find("Probe 2 10 min in 2 gaps") != std::string::npos);
  CHECK_FALSE(judged_with(1, 20, 1).unseen_hold); // steps of 2 min hide nothing of a core
}
