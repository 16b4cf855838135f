#include "sizing/compare.h"
#include "sizing/filled_sheet.h"
#include "support/approx.h"
#include "support/made_request.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

using namespace coldbag;
using namespace coldbag::test;

namespace {

const Said* told(const PlanComparison& comparison, const std::string& key) {
  const auto found = std::ranges::find(comparison.why, key, &Said::key);
  return found == comparison.why.end() ? nullptr : &*found;
}

double value_of(const Said& said, const std::string& name) {
  return std::get<double>(said.values.at(name));
}

PlanReport planned_with(double power_W) {
  PlanRequest request = rated_request();
  request.supply.power_W = stated(power_W);
  return plan_report(request, sizing_tables());
}

} // namespace

TEST_SUITE("a plan beside its run") {
  TEST_CASE("a run that came as planned is told so") {
    const PlanReport report = planned_with(30e3);
    const PlanComparison alike = compare_plan(report, {}, sizing_tables().heating.vapour);
    const PlanComparison comparison =
        compare_plan(report, {"night", alike.come_up_s.likely, report.plan.hot_s.likely, {}},
                     sizing_tables().heating.vapour);
    CHECK(told(comparison, "size_as_planned_come_up") != nullptr);
    CHECK(told(comparison, "size_why_supply") == nullptr);
  }
  TEST_CASE("the supply that alone would explain a late come-up is found again") {
    const PlanReport weak = planned_with(18e3);
    const PlanReport said = planned_with(30e3);
    const double seen_s = compare_plan(weak, {}, sizing_tables().heating.vapour).come_up_s.likely;
    const PlanComparison comparison =
        compare_plan(said, {"night", seen_s, {}, {}}, sizing_tables().heating.vapour);
    const Said* supply = told(comparison, "size_why_supply");
    REQUIRE(supply != nullptr);
    CHECK(within(value_of(*supply, "power_W"), 18e3, 0, 0.01));
    CHECK(told(comparison, "size_why_walls") != nullptr);
  }
  TEST_CASE("walls are never the reason of a come-up that was too soon beyond them") {
    const PlanReport said = planned_with(30e3);
    const double likely_s = compare_plan(said, {}, sizing_tables().heating.vapour).come_up_s.likely;
    const PlanComparison comparison =
        compare_plan(said, {"night", likely_s / 3, {}, {}}, sizing_tables().heating.vapour);
    CHECK(told(comparison, "size_why_not_walls") != nullptr);
    CHECK(value_of(*told(comparison, "size_why_supply"), "power_W") > 60e3);
  }
  TEST_CASE("cores that take longer than the slow end are told apart from the vessel") {
    const PlanReport said = planned_with(30e3);
    const double likely_s = compare_plan(said, {}, sizing_tables().heating.vapour).come_up_s.likely;
    const PlanComparison comparison = compare_plan(
        said, {"night", likely_s, said.plan.hot_s.slow + 3600, 500.0}, sizing_tables().heating.vapour);
    CHECK(told(comparison, "size_why_bags_slow") != nullptr);
    CHECK(told(comparison, "size_why_more_steam") != nullptr);
  }
}

TEST_SUITE("a sheet with a plan on it") {
  TEST_CASE("steam off stands on the first reading at or after it, and the bags are the plan's") {
    const PlanReport report = planned_with(30e3);
    RunSheet sheet;
    for (int i = 0; i <= 40; ++i)
      sheet.lines.push_back({i * 900.0, {}});
    const RunSheet filled = filled_sheet(sheet, report);
    const auto off = std::ranges::find_if(filled.lines, [](const SheetLine& line) {
      return line.remark && line.remark->key == "sheet_plan_off";
    });
    REQUIRE(off != filled.lines.end());
    CHECK(off->since_steam_on_s >= report.plan.steam_off_s - 1);
    CHECK(off->since_steam_on_s < report.plan.steam_off_s + 900);
    REQUIRE(filled.bags.size() == 1);
    CHECK(filled.bags.front().count == 120);
  }
}
