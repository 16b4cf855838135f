#include "cli/record_trends.h"

#include "cli/record_chosen.h"
#include "cli/write_file.h"
#include "records/trend.h"
#include "report/screen.h"
#include "report/trend_blocks.h"
#include "report/trend_chart.h"

#include <algorithm>

namespace coldbag {

int record_trends(const RecordWork& work) {
  const TrendFigures figures = read_trend_figures(work.tables);
  const std::vector<ChartedRun> all = charted_history(opened_ledger(work)).runs;
  const std::vector<ChartedRun> runs = chosen_runs(work, all);
  Trends trends = trends_of(runs, figures);
  // A run may be like one that was not asked for.
  trends.alike = alike_runs(all);
  std::erase_if(trends.alike, [&](const AlikeRuns& pair) {
    return std::ranges::none_of(runs, [&](const ChartedRun& run) {
      return run.number == pair.number || run.number == pair.other_number;
    });
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
