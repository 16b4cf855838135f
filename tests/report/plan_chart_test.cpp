// The chart of a plan: all of it within its room, the same twice, nothing where a plan has no times.
#include "report/plan_chart.h"

#include "report/plan_blocks.h"
#include "support/drawn_within.h"
#include "support/made_request.h"

#include <doctest/doctest.h>

#include <variant>

using namespace coldbag;
using namespace coldbag::test;

namespace {

const Words& catalogue(const std::string& language) {
  static const Words english = Words::read(TableFiles::built_in(), "en");
  static const Words spanish = Words::read(TableFiles::built_in(), "es");
  return language == "es" ? spanish : english;
}

void check_plan_within(const PlanReport& report, const Words& words, const ChartSize& size) {
  check_within(size,
               [&](cairo_t* cairo, const ChartSize& room) { draw_plan_chart(cairo, report, words, room); });
}

bool has_place(const Blocks& blocks) {
  for (const Block& block : blocks)
    if (std::holds_alternative<ChartPlace>(block)) return true;
  return false;
}

} // namespace

TEST_SUITE("the chart of a plan") {
  TEST_CASE("nothing of it leaves its room, in either language, by the clock or without") {
    for (const PlanRequest& request : {rated_request(), drum_request()})
      for (const char* language : {"en", "es"})
        for (const ChartSize& size :
             {ChartSize{760, 440}, ChartSize{500, 300}, ChartSize{360, 300}, narrow_chart}) {
          PlanReport report = plan_report(request, sizing_tables());
          check_plan_within(report, catalogue(language), size);
          report.steam_on_us = 66600LL * 1000000;
          report.units = UnitSystem::us;
          check_plan_within(report, catalogue(language), size);
        }
  }

  TEST_CASE("the same plan gives the same bytes, another plan others") {
    const Words& words = catalogue("en");
    const PlanReport report = plan_report(drum_request(), sizing_tables());
    const std::string svg = plan_chart_svg(report, words, ChartSize{});
    CHECK(svg == plan_chart_svg(report, words, ChartSize{}));
    CHECK(svg != plan_chart_svg(plan_report(drum_request(20), sizing_tables()), words, ChartSize{}));
  }

  TEST_CASE("a vessel that never gets there has no chart and no place for one") {
    PlanRequest weak = drum_request();
    weak.supply.power_W = stated(800.0);
    const PlanReport report = plan_report(weak, sizing_tables());
    REQUIRE_FALSE(report.plan.is_enough);
    CHECK_FALSE(has_chart(report));
    CHECK_FALSE(has_place(plan_blocks(report, catalogue("en"), true)));
    CHECK(has_place(plan_blocks(plan_report(drum_request(), sizing_tables()), catalogue("en"), false)));
  }
}
