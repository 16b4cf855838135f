// Charts and words of trends: all of the chart within its room, the same twice; the sentences that matter.
#include "report/trend_chart.h"

#include "records/made_charted_run.h"
#include "report/screen.h"
#include "report/trend_blocks.h"
#include "support/drawn_within.h"

#include <doctest/doctest.h>

#include <string>

using namespace coldbag;
using namespace coldbag::test;

namespace {

const Words& catalogue(const std::string& language) {
  static const Words english = Words::read(TableFiles::built_in(), "en");
  static const Words spanish = Words::read(TableFiles::built_in(), "es");
  return language == "es" ? spanish : english;
}

const TrendFigures& figures() {
  static const TrendFigures built_in = read_trend_figures(TableFiles::built_in());
  return built_in;
}

/// Lag and plateau of so many runs; from the 25th on the lag is longer, the 12th is wild.
Trends made_trends(std::size_t runs, const std::string& vessel = "autoclave") {
  Scatter scatter(3);
  std::vector<double> lags(runs);
  for (std::size_t i = 0; i < runs; ++i)
    lags[i] = 90 + 4 * scatter.next() + (i >= 25 ? 12 : 0) + (i == 12 ? 90 : 0);
  std::vector<ChartedRun> all = runs_of_lags(lags);
  for (ChartedRun& run : all) {
    run.vessel = vessel;
    run.plateau_degC = 121.5;
    run.margin_decades = 0.9 + 0.05 * scatter.next();
  }
  return trends_of(all, figures());
}

std::string flat(const Trends& trends, const std::string& language) {
  std::string text = screen_text(trend_blocks(trends, figures(), catalogue(language)));
  std::string out;
  for (const char c : text)
    if (c != '\n' && (c != ' ' || !out.ends_with(' ')))
      out += c;
    else if (!out.ends_with(' '))
      out += ' ';
  return out;
}

} // namespace

TEST_SUITE("charts of trends") {
  TEST_CASE("nothing of them leaves their room, with few runs and many, in either language") {
    for (const std::size_t runs : {1, 2, 9, 40, 300})
      for (const char* language : {"en", "es"})
        for (const double width : {230.0, 680.0}) {
          const Trends trends = made_trends(runs);
          check_within(trend_chart_size(trends, width), [&](cairo_t* cairo, const ChartSize& room) {
            draw_trend_chart(cairo, trends, catalogue(language), room);
          });
        }
  }
  TEST_CASE("a long name of a vessel stays within its room") {
    const Trends trends = made_trends(30, std::string(200, 'W'));
    check_within(trend_chart_size(trends, 400), [&](cairo_t* cairo, const ChartSize& room) {
      draw_trend_chart(cairo, trends, catalogue("en"), room);
    });
  }
  TEST_CASE("the same trends give the same bytes; none give none") {
    const Trends trends = made_trends(40);
    CHECK(trend_chart_svg(trends, catalogue("en")) == trend_chart_svg(trends, catalogue("en")));
    CHECK(trend_chart_svg({}, catalogue("en")).empty());
  }
}

TEST_SUITE("trends in words") {
  TEST_CASE("a drift has its day and its usual causes, a wild run stands alone") {
    const std::string text = flat(made_trends(40), "en");
    CHECK(text.find("Since 2026-01-2") != std::string::npos);
    CHECK(text.find("heat-up is getting slower") != std::string::npos);
    CHECK(text.find("packing, steam or venting") != std::string::npos);
    CHECK(text.find("each run alone and no drift: run-13 of 2026-01-14") != std::string::npos);
    CHECK(text.find("As usual:") != std::string::npos);
    CHECK(flat(made_trends(40), "es").find("Desde 2026-01-2") != std::string::npos);
  }
  TEST_CASE("few runs have no limits, some have provisional ones") {
    CHECK(flat(made_trends(5), "en").find("Too few runs for limits (8 are needed)") != std::string::npos);
    CHECK(flat(made_trends(10), "en").find("provisional: they rest on 10 runs") != std::string::npos);
  }
  TEST_CASE("F over what is needed is told as times") {
    CHECK(trend_value_text(TrendOf::margin, 1, UnitSystem::metric) == "x10");
    CHECK(trend_value_text(TrendOf::margin, -0.30103, UnitSystem::metric) == "x0.50");
    CHECK(trend_value_text(TrendOf::plateau, 100, UnitSystem::us) == "212.0 F");
    CHECK(trend_step_text(TrendOf::plateau, 1, UnitSystem::us) == "1.8 F");
    CHECK(trend_value_text(TrendOf::core_lag, 9.94, UnitSystem::metric) == "9.9 min");
  }
}
