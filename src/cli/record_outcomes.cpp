#include "cli/record_outcomes.h"

#include "records/history.h"
#include "records/outcomes.h"
#include "report/outcome_blocks.h"
#include "report/screen.h"

#include <vector>

namespace coldbag {

namespace {

/// Those that the filters leave.
std::vector<ChartedRun> chosen(const RecordWork& work, std::vector<ChartedRun> runs) {
  const auto from_us = day_option(work.given, "from");
  const auto before_us = day_option(work.given, "before");
  std::erase_if(runs, [&](const ChartedRun& run) {
    const auto is_other = [&](const char* option, const std::string& own) {
      return work.given.has(option) && work.given.text(option) != own;
    };
    const std::int64_t at_us = run.began.at.time_since_epoch().count();
    return is_other("run", run.name) || is_other("vessel", run.vessel) ||
           is_other("treatment", run.treatment) || is_other("bag", run.bag) ||
           (from_us && at_us < *from_us) || (before_us && at_us >= *before_us);
  });
  return runs;
}

} // namespace

int record_outcomes(const RecordWork& work) {
  const TrendFigures figures = read_trend_figures(work.tables);
  const History history = read_history(opened_ledger(work));
  const Outcomes outcomes = outcomes_of(history, chosen(work, charted_runs(history)), figures);
  print(screen_text(outcome_blocks(outcomes, figures, work.words)));
  return 0;
}

} // namespace coldbag
