#include "cli/record_outcomes.h"

#include "cli/record_chosen.h"
#include "records/outcomes.h"
#include "report/outcome_blocks.h"
#include "report/screen.h"

#include <utility>

namespace coldbag {

int record_outcomes(const RecordWork& work) {
  const TrendFigures figures = read_trend_figures(work.tables);
  ChartedHistory all = charted_history(opened_ledger(work));
  const Outcomes outcomes = outcomes_of(all.history, chosen_runs(work, std::move(all.runs)), figures);
  print(screen_text(outcome_blocks(outcomes, figures, work.words)));
  return 0;
}

} // namespace coldbag
