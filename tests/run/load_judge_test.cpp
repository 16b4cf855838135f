// The bags without a probe in whole runs: the invented examples, and what changes when less is known of them.
#include "run/judge.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <fstream>
#include <sstream>

using namespace coldbag;

namespace {

std::string file_text(const std::string& path) {
  std::ifstream file(std::string(COLDBAG_SOURCE_DIR) + "/" + path, std::ios::binary);
  REQUIRE_MESSAGE(file, path);
  std::ostringstream out;
  out << file.rdbuf();
  return out.str();
}

std::string replaced(std::string text, const std::string& what, const std::string& with) {
  const std::size_t at = text.find(what);
  REQUIRE_MESSAGE(at != std::string::npos, what);
  return text.replace(at, what.size(), with);
}

struct Files {
  std::string run = file_text("examples/good-sterilization/run.toml");
  std::string site = file_text("examples/farm.toml");
  std::string log = file_text("examples/good-sterilization/log.csv");
};

RunReport judged(const Files& files, RunOptions options = {}) {
  RunRequest request;
  request.run_file = NamedText{"run.toml", files.run};
  request.site = NamedText{"farm.toml", files.site};
  request.logs.push_back(Source::memory("log.csv", files.log));
  request.options = std::move(options);
  return judge_run(open_run(std::move(request), TableFiles::built_in()));
}

std::vector<CriterionResult> of_unprobed(const RunReport& report) {
  std::vector<CriterionResult> out;
  std::ranges::copy_if(report.criteria, std::back_inserter(out),
                       [](const CriterionResult& c) { return c.evidence != "measured"; });
  return out;
}

} // namespace

TEST_CASE("two probed bags of a kind carry the verdict to the whole load") {
  const RunReport report = judged({});
  CHECK(report.verdict == Verdict::pass);
  CHECK(report.scope == "load");
  REQUIRE(report.heating.size() == 1);
  CHECK(report.heating[0].evidence == "fitted");
  CHECK(report.heating[0].probed == 2);
  REQUIRE(report.slowest_unprobed.has_value());
  CHECK(report.slowest_unprobed->count == 238);
  CHECK(report.slowest_unprobed->F_minutes_lower <= report.slowest_unprobed->F_minutes);
  const std::vector<CriterionResult> unprobed = of_unprobed(report);
  REQUIRE_FALSE(unprobed.empty());
  CHECK(unprobed[0].evidence == "fitted");
  CHECK(unprobed[0].decided_by == "brick");
  CHECK(unprobed[0].bound == report.slowest_unprobed->F_minutes_lower);
}

TEST_CASE("more bags without a probe may hide a slower one") {
  Files more;
  more.run = replaced(more.run, "count = 240", "count = 2400");
  CHECK(judged(more).slowest_unprobed->F_minutes_lower < judged({}).slowest_unprobed->F_minutes_lower);
}

TEST_CASE("a load in which every bag has its probe has no slowest bag without one") {
  Files two;
  two.run = replaced(two.run, "count = 240", "count = 2");
  const RunReport report = judged(two);
  CHECK_FALSE(report.slowest_unprobed.has_value());
  CHECK(of_unprobed(report).empty());
  CHECK(report.verdict == Verdict::pass);
}

TEST_CASE("one probe tells nothing of how bags differ: no pass for the load, and no fail") {
  RunOptions options;
  options.left_out = {"Core 2"};
  const RunReport report = judged({}, options);
  REQUIRE(report.heating.size() == 1);
  CHECK(report.heating[0].evidence == "model");
  CHECK(report.verdict == Verdict::unproven);
  for (const CriterionResult& c : of_unprobed(report))
    CHECK(c.status == Status::unproven);
}

TEST_CASE("a bag without a probe never makes a fail") {
  Files more;
  more.run = replaced(more.run, "count = 240", "count = 90000");
  const RunReport report = judged(more);
  CHECK(report.verdict != Verdict::fail);
  for (const CriterionResult& c : of_unprobed(report))
    CHECK(c.status != Status::missed);
}

TEST_CASE("where the load cannot be reckoned the verdict is about the probed bags, and says why") {
  Files undescribed;
  undescribed.run = replaced(undescribed.run, "[[load.bags]]\nbag = \"brick\"\ncount = 240\n", "");
  const RunReport none = judged(undescribed);
  CHECK(none.scope == "probed");
  REQUIRE(none.load_not_judged.has_value());
  CHECK(none.load_not_judged->key == "load_not_described");

  Files massless;
  massless.site = replaced(massless.site, "mass = \"2.3 kg\"\n", "");
  const RunReport light = judged(massless);
  CHECK(light.scope == "probed");
  REQUIRE(light.load_not_judged.has_value());
  CHECK(light.load_not_judged->key == "load_bag_not_reckoned");

  RunOptions options;
  options.left_out = {"Vessel"};
  const RunReport unsteamed = judged({}, options);
  CHECK(unsteamed.scope == "probed");
  REQUIRE(unsteamed.load_not_judged.has_value());
  CHECK(unsteamed.load_not_judged->key == "load_no_steam_probe");
}

TEST_CASE("threads, and the size of blocks, change no digit of the load") {
  RunRequest request;
  const Files files;
  request.run_file = NamedText{"run.toml", files.run};
  request.site = NamedText{"farm.toml", files.site};
  request.logs.push_back(Source::memory("log.csv", files.log));
  const RunInput input = open_run(std::move(request), TableFiles::built_in());
  CHECK(judge_run(input, 7).heating == judge_run(input).heating);
}

TEST_CASE("steam that nobody saw for longer than is bridged carries no verdict to the load") {
  // In the middle of the hold, and from there to the end.
  for (const int to : {340, 100000}) {
    Files files;
    std::istringstream rows(files.log);
    std::string cut;
    int row = 0;
    for (std::string line; std::getline(rows, line); ++row) {
      if (row > 300 && row < to) {
        std::size_t cell = 0; // time, two cores, then the vessel
        for (int comma = 0; comma < 3; ++comma)
          cell = line.find(',', cell) + 1;
        line.erase(cell, line.find(',', cell) - cell);
      }
      cut += line + "\n";
    }
    files.log = cut;
    const RunReport report = judged(files);
    CAPTURE(to);
    CHECK(report.scope == "probed");
    REQUIRE(report.load_not_judged);
    CHECK(report.load_not_judged->key == "load_steam_not_seen");
  }
}

TEST_CASE("a bag that burst is taken off the load") {
  Files files;
  files.run += "\n[[event]]\nwhat = \"bag_burst\"\ntime = 2026-03-04T22:00:00\n";
  const RunReport report = judged(files);
  REQUIRE(report.slowest_unprobed);
  CHECK(report.slowest_unprobed->count == 237);
}

TEST_CASE("a steam probe that begins late but cold has seen all the steam") {
  Files files;
  std::istringstream rows(files.log);
  std::string cut;
  int row = 0;
  for (std::string line; std::getline(rows, line); ++row) {
    // Half an hour before the first reading of all, the bags are read alone.
    if (row == 3)
      for (int minute = 0; minute < 30; ++minute)
        cut += "2026-03-04T18:" + std::string(minute < 10 ? "0" : "") + std::to_string(minute) +
               ":00,22.2,21.8,,\n";
    cut += line + "\n";
  }
  files.log = cut;
  const RunReport report = judged(files);
  CHECK(report.scope == "load");
  CHECK_FALSE(report.load_not_judged);
}
