#include "cli/record_outcomes.h"

#include "cli/chosen_runs.h"
#include "records/history.h"
#include "records/outcomes.h"
#include "report/outcome_blocks.h"
#include "report/screen.h"

namespace coldbag {

int record_outcomes(const RecordWork& work) {
  const TrendFigures figures = read_trend_figures(work.tables);
  const History history = read_history(opened_ledger(work));
  const Outcomes outcomes = outcomes_of(history, chosen_runs(work, charted_runs(history)), figures);
  print(screen_text(outcome_blocks(outcomes, figures, work.words)));
  return 0;
}

} // namespace coldbag
