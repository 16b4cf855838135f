#include "cli/record_csv.h"

#include "cli/record_questions.h"
#include "cli/write_folder.h"
#include "records/import.h"
#include "records/runs_csv.h"

#include <algorithm>
#include <map>
#include <set>

namespace coldbag {

namespace {

/// Those of the entries that the filter leaves, with the figures of their reports.
std::vector<CsvRun> wanted_runs(const RecordWork& work, const Store& store, const RowFilter& filter,
                                int years) {
  const auto chosen = runs_by_history(work, store);
  std::set<std::uint64_t> wanted;
  for (const ListedRow& row : store.list(filter))
    if (!chosen || chosen->contains(row.number)) wanted.insert(row.number);
  const History history = read_history(store, Reports::left_out);
  std::map<std::uint64_t, WallTime> until;
  for (const KeepUntil& keep : keep_until(history, years, now()))
    until[keep.number] = keep.until;
  std::vector<CsvRun> runs = csv_runs(history);
  std::erase_if(runs, [&](const CsvRun& run) { return !wanted.contains(run.number); });
  for (CsvRun& run : runs) {
    run.figures = report_figures(run_leaf(store, *store.row(run.number)));
    run.keep_until = until.at(run.number);
  }
  return runs;
}

} // namespace

int list_csv(const RecordWork& work, const RowFilter& filter) {
  const std::string to = work.given.text("csv");
  if (to != "-") refuse_what_is_there(to);
  const std::string csv =
      runs_csv(wanted_runs(work, opened_ledger(work), filter, rule_asked(work, true).value));
  if (to == "-")
    print(csv);
  else
    write_whole_file(to, csv);
  return 0;
}

} // namespace coldbag
