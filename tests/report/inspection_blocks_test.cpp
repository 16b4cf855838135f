// The sheet of a run and its chart, drawn from a report and from its JSON read back. Invented figures.
#include "report/inspection_blocks.h"

#include "report/chart.h"
#include "report/page.h"
#include "report/readings_json.h"
#include "report/screen.h"
#include "run/run_report_json.h"
#include "support/drawn_within.h"

#include <doctest/doctest.h>

#include <algorithm>

using namespace coldbag;

namespace {

const TableFiles& tables() {
  static const TableFiles files = TableFiles::built_in();
  return files;
}

const Words& words_in(const char* language) {
  static const Words english = Words::read(tables(), "en");
  static const Words spanish = Words::read(tables(), "es");
  return std::string_view(language) == "es" ? spanish : english;
}

ProbeCurve curve_of(const std::string& probe, double hours, double slower) {
  ProbeCurve curve;
  curve.probe = probe;
  for (int i = 0; i < 400; ++i) {
    const double degC = std::min(96.0, 20 + i * 0.4 / slower);
    curve.at_s.push_back(hours * 9 * i);
    curve.lowest_degC.push_back(degC);
    curve.highest_degC.push_back(i == 200 ? degC + 300 : degC); // a spike, which is not counted
    curve.credited_share.push_back(i == 200 ? 0 : 1);
    curve.F_minutes.push_back(i * 0.01);
    curve.F_minutes_lower.push_back(i * 0.008);
  }
  return curve;
}

RunReport run_with(int probes, double hours, const std::string& name) {
  RunReport report;
  report.run_name = name;
  report.site_name = name;
  report.run_by = name;
  report.lots = {name};
  report.run_notes = name;
  report.verdict = Verdict::fail;
  report.failed_by = "too_little";
  report.treatment = "atmospheric_steam";
  report.treatment_name = "atmospheric steam";
  report.reference.name = "F0";
  report.reference.at_degC = 121.1;
  report.reference.z_K = 10;
  report.setpoint_degC = 88;
  for (int i = 0; i < probes; ++i) {
    ProbeResult probe;
    probe.name = name + " " + std::to_string(i);
    probe.role = i + 1 < probes ? ProbeRole::bag : ProbeRole::vessel;
    probe.place = name;
    probe.stayed_from_s = hours * 2000;
    probe.stayed_to_s = hours * 3000;
    probe.faults.push_back({"dropout",
                            hours * 1800,
                            hours * 1801,
                            {{"silent_minutes", 2.0}},
                            FaultEffect::stretch_not_credited,
                            ""});
    report.curves.probes.push_back(curve_of(probe.name, hours, 1 + 0.05 * i));
    report.probes.push_back(probe);
  }
  report.curves.width_s = hours * 9;
  report.coldest = report.probes.front().name;
  for (int i = 0; i < 30; ++i)
    report.events.push_back({"remark", hours * 100 * i, true, name, name, ""});
  LogResult log;
  log.name = name;
  log.to_s = hours * 3600;
  log.interval_s = hours * 9;
  log.gaps = {{hours * 500, hours * 600}};
  report.logs = {log};
  return report;
}

std::string page_of(const RunReport& report, const Words& words) {
  return page_html(inspection_blocks(report, words), {"t", report.run_name, words.language()}, words,
                   tables(), {chart_svg(report, words, ChartSize{}), chart_svg(report, words, narrow_chart)},
                   readings_json(report, words, ChartSize{}, narrow_chart));
}

} // namespace

TEST_CASE("a report read back from its JSON draws the same page byte for byte, in both languages") {
  const RunReport report = run_with(5, 12, "second try");
  const RunReport again = read_report_json("again", report_json(report));
  for (const char* language : {"en", "es"}) {
    const std::string page = page_of(report, words_in(language));
    CHECK(page == page_of(again, words_in(language)));
    CHECK(page.find("<svg") != std::string::npos);
  }
  CHECK(page_of(report, words_in("en")) != page_of(report, words_in("es")));
}

TEST_CASE("the sheet holds the parts that an inspector looks for, and the hash of the record's JSON") {
  const RunReport report = run_with(3, 12, "second try");
  const Blocks blocks = inspection_blocks(report, words_in("en"));
  const auto is = [&](auto kind) {
    return std::ranges::count_if(blocks,
                                 [](const Block& b) { return std::holds_alternative<decltype(kind)>(b); });
  };
  CHECK(is(VerdictSentence{}) == 1);
  CHECK(is(ChartPlace{}) == 1);
  CHECK(is(TickBoxes{}) == 1);
  CHECK(is(WritingLine{}) >= 5);
  const std::string text = screen_text(blocks);
  std::string unbroken; // a hash is longer than the room beside its words
  std::ranges::copy_if(text, std::back_inserter(unbroken), [](char c) { return c != ' ' && c != '\n'; });
  CHECK(unbroken.find(sha256_hex(report_json(report))) != std::string::npos);
}

TEST_CASE(
    "charts of 2 and 24 probes, of 2 hours and 60, on wide and narrow paper are drawn, and alike again") {
  for (const int probes : {2, 24})
    for (const double hours : {2.0, 60.0})
      for (const ChartSize size : {ChartSize{}, ChartSize{480, 311}, ChartSize{300, 220}, narrow_chart}) {
        const RunReport report = run_with(probes, hours, "run");
        const std::string svg = chart_svg(report, words_in("en"), size);
        CHECK(svg == chart_svg(report, words_in("en"), size));
        CHECK(svg.size() > 5000);
        const ChartPlot plot = chart_plot(report, words_in("en"), size);
        CHECK(plot.left < plot.right);
        CHECK(plot.top < plot.bottom);
        CHECK(plot.right < size.width_pt);
        CHECK(plot.bottom < size.height_pt);
        for (const char* language : {"en", "es"})
          test::check_within(size, [&](_cairo* cairo, const ChartSize& room) {
            draw_chart(cairo, report, words_in(language), room);
          });
      }
}

TEST_CASE(
    "the sheet tells each criterion beside what was found, and organisms past every figure in one sentence") {
  RunReport report = run_with(2, 12, "second try");
  CriterionResult hold;
  hold.name = "hold";
  hold.unit = "minutes";
  hold.required = 12 * 60;
  hold.delivered = 13 * 60;
  hold.bound = 12.5 * 60;
  hold.status = Status::met;
  hold.fails = true;
  CriterionResult fitted = hold;
  fitted.evidence = "fitted";
  fitted.delivered.reset();
  fitted.bound.reset();
  fitted.status = Status::unproven;
  report.criteria = {hold, fitted};
  for (const auto& [name, decades] :
       {std::pair{"few", 3.0}, std::pair{"many", 30.0}, std::pair{"more", 40.0}}) {
    OrganismResult organism;
    organism.name = name;
    organism.basis = "published";
    organism.decades = organism.decades_lower = organism.decades_lower_z_less_one = decades;
    report.probes.front().organisms.push_back(organism);
  }
  std::vector<Table> tables;
  std::string said;
  for (const Block& block : inspection_blocks(report, words_in("en"))) {
    if (const Table* table = std::get_if<Table>(&block)) tables.push_back(*table);
    if (const Paragraph* paragraph = std::get_if<Paragraph>(&block)) said += paragraph->text + "\n";
  }
  const auto row_of = [&](const std::string& name) {
    for (const Table& table : tables)
      for (const TableRow& row : table.rows)
        if (row.cells.front() == name) return row.cells;
    return std::vector<std::string>{};
  };
  CHECK(row_of("hold, measured") ==
        std::vector<std::string>{"hold, measured", "met", "at least 12 h", "13 h", "12 h 30 min"});
  CHECK(row_of("hold, fitted") ==
        std::vector<std::string>{"hold, fitted", "not shown", "at least 12 h", "not measured", "-"});
  CHECK(row_of("few").size() == 4);
  CHECK(row_of("many").empty());
  CHECK(said.find("over 20: many; more.") != std::string::npos);
}

TEST_CASE("hostile names in every field break neither chart nor page, and put nothing into it") {
  for (const std::string& name :
       {std::string("<script>alert(1)</script>"), std::string(5000, 'w'),
        std::string("\xE2\x80\xAE"
                    "drawkcab"),
        std::string("\xF0\x9F\x8D\x84\xF0\x9F\x94\xA5"), std::string("two\nlines\x01"),
        std::string("\xff\xfe"), std::string("\"'>&lt;{{title}}")}) {
    const RunReport report = run_with(4, 12, name);
    const std::string page = page_of(report, words_in("en"));
    CHECK(page.find("<script>alert") == std::string::npos);
    CHECK(page.ends_with("</html>\n"));
    for (const ChartFile kind : {ChartFile::svg, ChartFile::pdf, ChartFile::png})
      CHECK(chart_file(report, words_in("en"), kind, ChartSize{}).size() > 1000);
  }
}

TEST_CASE("a report without readings has a sheet and no chart") {
  RunReport report = run_with(1, 12, "nothing read");
  report.curves = {};
  CHECK_FALSE(has_chart(report));
  CHECK(readings_json(report, words_in("en"), ChartSize{}, narrow_chart).empty());
  CHECK_FALSE(inspection_blocks(report, words_in("en")).empty());
}
