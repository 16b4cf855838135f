#include "cli/record_trends.h"

#include "cli/write_file.h"
#include "records/history.h"
#include "records/trend.h"
#include "report/screen.h"
#include "report/trend_blocks.h"
#include "report/trend_chart.h"

#include <algorithm>

namespace coldbag {

int record_trends(const RecordWork& work) {
  const TrendFigures figures = read_trend_figures(work.tables);
  const std::vector<ChartedRun> runs = charted_runs(read_history(opened_ledger(work)));
  Trends trends = trends_of(runs, figures);
  std::erase_if(trends.groups, [&](const TrendGroup& group) {
    const auto is_other = [&](const char* option, const std::string& own) {
      return work.given.has(option) && work.given.text(option) != own;
    };
    return is_other("vessel", group.vessel) || is_other("treatment", group.treatment) ||
           is_other("bag", group.bag);
  });
  if (work.given.has("svg")) {
    const std::string svg = trend_chart_svg(trends, work.words);
    if (svg.empty())
      refuse_option("svg", "there is nothing to draw: no run is like that", "coldbag record list shows them");
    write_new_file(work.given.text("svg"), svg);
  }
  print(screen_text(trend_blocks(trends, figures, work.words)));
  return 0;
}

} // namespace coldbag
