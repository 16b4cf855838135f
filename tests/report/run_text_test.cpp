// What the run file says of a run stands in its report. Invented names.
#include "report/run_text.h"

#include <doctest/doctest.h>

using namespace coldbag;

namespace {

RunReport report_of_run_file() {
  RunReport report;
  report.verdict = Verdict::unproven;
  report.treatment = "atmospheric_steam";
  report.treatment_name = "atmospheric steam";
  report.run_name = "second try";
  report.resteam_of = "first try";
  report.run_by = "A";
  report.lots = {"L7", "L8"};
  report.run_notes = "rain all night";
  return report;
}

std::string text_of(const RunReport& report, bool is_full) {
  TextOptions options;
  options.is_full = is_full;
  return run_text(report, Words::read(TableFiles::built_in(), "en"), options);
}

bool holds(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

} // namespace

TEST_CASE("a load steamed again says after which run, and that the two never add up") {
  RunReport report = report_of_run_file();
  CHECK(holds(text_of(report, false), "Steamed again after first try: judged alone"));
  report.resteam_of.clear();
  CHECK_FALSE(holds(text_of(report, false), "Steamed again"));
}

TEST_CASE("who ran it, lots and notes stand in the full text alone") {
  const std::string full = text_of(report_of_run_file(), true);
  for (const char* part : {"Run by A.", "Lots: L7, L8.", "Notes: rain all night"}) {
    CHECK_MESSAGE(holds(full, part), part);
    CHECK_FALSE(holds(text_of(report_of_run_file(), false), part));
  }
  CHECK_FALSE(holds(text_of(RunReport{}, true), "As the run file says"));
}

TEST_CASE("where no log reduction is claimed the full text says so") {
  RunReport report = report_of_run_file();
  report.probes.push_back({});
  report.probes[0].role = ProbeRole::bag;
  CHECK(holds(text_of(report, true), "Log reductions are not claimed"));
  report.probes[0].organisms.push_back({"o", "organism", 1, 1, 1, "published", "", false});
  CHECK_FALSE(holds(text_of(report, true), "Log reductions are not claimed"));
}
