// The parts of a run's report, each alone and in the whole. Invented figures.
#include "report/run_blocks.h"

#include "report/screen.h"

#include <doctest/doctest.h>

#include <algorithm>

using namespace coldbag;

namespace {

const Words& english() {
  static const Words words = Words::read(TableFiles::built_in(), "en");
  return words;
}

ProbeResult bag_probe() {
  ProbeResult p;
  p.name = "core_1";
  p.role = ProbeRole::bag;
  p.top_degC = 94.5;
  p.hold_minutes = 30;
  p.F_minutes = 3;
  p.hold_unseen_minutes = 4;
  p.hold_unseen_gaps = 2;
  p.F_minutes_by_band = {1, 2};
  p.faults.push_back({"left_out", 0, 60, {}, FaultEffect::probe_not_relied_on, ""});
  p.organisms.push_back({"o", "some spores", 3, 2, 1, "assumed", "", true});
  return p;
}

// Something of every part: film over its limit, a caution, a miss, a fault, an event, a log.
RunReport failed_run() {
  RunReport report;
  report.run_name = "second try";
  report.resteam_of = "first try";
  report.run_by = "A";
  report.verdict = Verdict::fail;
  report.treatment_name = "atmospheric steam";
  report.setpoint_degC = 94;
  report.probes = {bag_probe()};
  report.coldest = "core_1";
  report.vessel_hold_minutes = 90;
  CriterionResult hold;
  hold.name = "hold";
  hold.unit = "minutes";
  hold.required = 720;
  hold.delivered = 30;
  hold.decided_by = "core_1";
  hold.status = Status::missed;
  report.criteria = {hold};
  report.cautions = {{"film_over_limit", {"caution_pressure_not_watched", {}}, "measured", {}},
                     {"pressure_not_watched", {"caution_pressure_not_watched", {}}, "measured", {}}};
  report.next = {{"next_oven_test", {}}};
  report.events.push_back({"steam_off", 0, true, "", "", ""});
  LogResult log;
  log.name = "log.csv";
  log.rows = 60;
  report.logs = {log};
  report.boiling_degC = 96;
  return report;
}

bool holds(const Blocks& whole, const Blocks& part) {
  return std::search(whole.begin(), whole.end(), part.begin(), part.end()) != whole.end();
}

template <class Kind>
std::vector<Kind> all_of(const Blocks& blocks) {
  std::vector<Kind> out;
  for (const Block& block : blocks)
    if (const Kind* one = std::get_if<Kind>(&block)) out.push_back(*one);
  return out;
}

} // namespace

TEST_CASE("every part stands in the whole as it stands alone") {
  const RunReport report = failed_run();
  const Words& words = english();
  const Blocks whole = run_blocks(report, words, "", true);
  using Part = Blocks (*)(const RunReport&, const Words&);
  for (const Part part :
       {run_name_blocks, film_blocks, why_blocks, next_blocks, measured_blocks, fault_blocks, caution_blocks,
        event_blocks, site_blocks, log_blocks, notes_blocks, criteria_blocks, judgement_blocks,
        caution_detail_blocks, run_file_blocks, computed_blocks}) {
    const Blocks alone = part(report, words);
    CHECK_FALSE(alone.empty());
    CHECK_MESSAGE(holds(whole, alone), screen_text(alone));
  }
  CHECK(holds(whole, probe_blocks(report, report.probes[0], words)));
  CHECK(holds(whole, {verdict_sentence(report, words)}));
}

TEST_CASE("the full report is the short one with what it adds behind") {
  const RunReport report = failed_run();
  Blocks blocks = run_blocks(report, english(), "", false);
  append(blocks, full_blocks(report, english()));
  CHECK(blocks == run_blocks(report, english(), "", true));
}

TEST_CASE("film over its limit warns before the verdict, reasons stand behind it") {
  const RunReport report = failed_run();
  const Blocks film = film_blocks(report, english());
  REQUIRE(film.size() == 1);
  CHECK(std::get<Paragraph>(film[0]).tone == Tone::warning);
  const Blocks why = why_blocks(report, english());
  REQUIRE(why.size() == 1);
  CHECK(std::get<Paragraph>(why[0]).tone == Tone::reason);
  CHECK(all_of<Item>(caution_blocks(report, english())).size() == 1);
  const Blocks whole = run_blocks(report, english(), "", false);
  const auto at = [&](const Block& block) { return std::find(whole.begin(), whole.end(), block); };
  const auto verdict = at(verdict_sentence(report, english()));
  CHECK(at(film[0]) < verdict);
  CHECK(verdict < at(why[0]));
}

TEST_CASE("the shape beside a verdict is its own, and a run still going has none") {
  RunReport report = failed_run();
  CHECK(verdict_sentence(report, english()).mark == Mark::fail);
  report.verdict = Verdict::pass;
  CHECK(verdict_sentence(report, english()).mark == Mark::pass);
  report.verdict = Verdict::unproven;
  CHECK(verdict_sentence(report, english()).mark == Mark::unproven);
  report.so_far = SoFar::enough;
  CHECK(verdict_sentence(report, english()).mark == Mark::none);
}

TEST_CASE("each probe has a row with a cell for each column, its name uncut") {
  RunReport report = failed_run();
  report.probes[0].name = "core of the lowest shelf";
  const std::vector<Table> tables = all_of<Table>(measured_blocks(report, english()));
  REQUIRE(tables.size() == 1);
  REQUIRE(tables[0].rows.size() == 1);
  CHECK(tables[0].rows[0].cells.size() == tables[0].columns.size());
  CHECK(tables[0].rows[0].cells[0] == "core of the lowest shelf");
}

TEST_CASE("log reductions beyond the measured temperatures are marked, and the mark is explained") {
  const RunReport report = failed_run();
  const Blocks probe = probe_blocks(report, report.probes[0], english());
  CHECK(std::get<Heading>(probe[0]).level == 3);
  const std::vector<Table> tables = all_of<Table>(probe);
  REQUIRE(tables.size() == 1);
  CHECK(tables[0].rows[0].cells[0] == "some spores *");
  CHECK(tables[0].rows[0].note == "assumed");
  CHECK(all_of<Paragraph>(probe).back().text.starts_with("* "));
}

TEST_CASE("where nothing was judged the commands to type stand as commands") {
  RunReport report = failed_run();
  report.verdict.reset();
  report.would_need.push_back({"t", "some treatment", 94, {}, 0, 0, {}});
  const Blocks blocks = run_blocks(report, english(), "night.csv", false);
  const std::vector<Command> commands = all_of<Command>(blocks);
  REQUIRE(commands.size() == 2);
  CHECK(commands[0].parts.front() == "coldbag check night.csv");
  CHECK(commands[1].parts == std::vector<std::string>{"coldbag check night.csv", "--explain"});
  CHECK(all_of<VerdictSentence>(blocks).empty());
  report.runs.resize(2);
  CHECK(all_of<Command>(run_blocks(report, english(), "night.csv", false)).size() == 1);
}

TEST_CASE("what a run has none of takes no room") {
  RunReport report;
  report.verdict = Verdict::pass;
  using Part = Blocks (*)(const RunReport&, const Words&);
  for (const Part part : {run_name_blocks, film_blocks, why_blocks, next_blocks, fault_blocks, caution_blocks,
                          event_blocks, site_blocks, log_blocks, slowest_bag_blocks, heating_blocks,
                          would_need_blocks, run_file_blocks, caution_detail_blocks, survival_blocks})
    CHECK(part(report, english()).empty());
}
