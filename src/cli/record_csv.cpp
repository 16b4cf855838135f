#include "cli/record_csv.h"

#include "cli/write_folder.h"
#include "records/runs_csv.h"

#include <algorithm>
#include <set>

namespace coldbag {

namespace {

/// Those of the entries that the filter leaves, with the figures of their reports.
std::vector<CsvRun> wanted_runs(const Store& store, const RowFilter& filter) {
  std::set<std::uint64_t> wanted;
  for (const ListedRow& row : store.list(filter))
    wanted.insert(row.number);
  std::vector<CsvRun> runs = csv_runs(read_history(store));
  std::erase_if(runs, [&](const CsvRun& run) { return !wanted.contains(run.number); });
  for (CsvRun& run : runs)
    run.figures = run_figures(store.row(run.number)->leaf);
  return runs;
}

} // namespace

int list_csv(const RecordWork& work, const RowFilter& filter) {
  const std::string to = work.given.text("csv");
  if (to != "-") refuse_what_is_there(to);
  const std::string csv = runs_csv(wanted_runs(opened_ledger(work), filter));
  if (to == "-")
    print(csv);
  else
    write_whole_file(to, csv);
  return 0;
}

} // namespace coldbag
