#include "cli/record_again.h"

#include "cli/record_run.h"
#include "records/query.h"
#include "report/again_blocks.h"
#include "report/screen.h"
#include "run/judge.h"
#include "run/report_words.h"

#include <tbb/global_control.h>
#include <tbb/parallel_for.h>

#include <algorithm>
#include <functional>
#include <mutex>
#include <utility>

namespace coldbag {

namespace {

/// Changes what a run is judged from.
using Change = std::function<void(RunRequest&)>;

struct KeptParts {
  RunContent content;
  std::vector<Attachment> attachments;
};

KeptParts parts_of(const Store& store, std::uint64_t number) {
  const Entry entry = entry_of(*store.row(number));
  return {read_run_content("entry", entry.content), entry.attachments};
}

/// A ledger from which one thread at a time reads.
class ReadInTurn {
 public:
  explicit ReadInTurn(Store store) : store_(std::move(store)) {}
  [[nodiscard]] const Store& alone() const { return store_; }

  /// The request of a kept run, with its name and verdict.
  [[nodiscard]] RunRequest request(std::uint64_t number, const TableFiles& tables, JudgedAgain& again) {
    const std::lock_guard<std::mutex> lock(turn_);
    const KeptParts parts = parts_of(store_, number);
    again.run = parts.content.run;
    again.then = parts.content.verdict;
    return kept_request(store_, parts.attachments, parts.content, tables);
  }

 private:
  Store store_;
  std::mutex turn_;
};

std::string verdict_by(RunRequest request, const Change& change, const TableFiles& tables) {
  change(request);
  const RunReport report = judge_run(open_run(std::move(request), tables));
  return report.verdict ? std::string(word(*report.verdict)) : "";
}

JudgedAgain judged_again(ReadInTurn& ledger, std::uint64_t number, const Change& change,
                         const Change* without, const TableFiles& tables) {
  JudgedAgain again;
  again.number = number;
  try {
    const RunRequest request = ledger.request(number, tables, again);
    again.now = verdict_by(request, change, tables);
    if (without != nullptr) again.without = verdict_by(request, *without, tables);
  } catch (const UserError& error) {
    again.why_not = to_text(error.complaints().front());
  }
  return again;
}

std::vector<JudgedAgain> all_again(ReadInTurn& ledger, const std::vector<std::uint64_t>& numbers,
                                   const Change& change, const Change* without, const RecordWork& work) {
  std::optional<tbb::global_control> cores;
  if (work.given.has("threads"))
    cores.emplace(tbb::global_control::max_allowed_parallelism, count_option(work.given, "threads"));
  std::vector<JudgedAgain> all(numbers.size());
  tbb::parallel_for(std::size_t{0}, numbers.size(), [&](std::size_t i) {
    all[i] = judged_again(ledger, numbers[i], change, without, work.tables);
  });
  return all;
}

} // namespace

int judge_again(const RecordWork& work) {
  ReadInTurn ledger(opened_ledger(work));
  std::vector<std::uint64_t> numbers;
  RowFilter filter = filter_of(work.given);
  filter.kind = word(EntryKind::run);
  for (const ListedRow& row : ledger.alone().list(filter))
    numbers.push_back(row.number);
  const std::string treatment = work.given.text("treatment-now");
  const auto change = [&](RunRequest& request) {
    if (!treatment.empty()) request.options.treatment = treatment;
  };
  print(screen_text(again_blocks(all_again(ledger, numbers, change, nullptr, work), work.words)));
  return 0;
}

int affected(const RecordWork& work) {
  const std::string probe = needed_option(work, "probe", "write for example --probe T1");
  ReadInTurn ledger(opened_ledger(work));
  const History history = read_history(ledger.alone(), Reports::left_out);
  const auto numbers = runs_since_good_check(history, probe);
  const auto checks = checks_of_probe(history, probe);
  const Change with_checks = [&](RunRequest& request) { request.options.more_checks = checks; };
  const Change without_probe = [&](RunRequest& request) { request.options.left_out.push_back(probe); };
  const auto all = all_again(ledger, numbers, with_checks, &without_probe, work);
  print(screen_text(affected_blocks(all, probe, last_good_check(history, probe), work.words)));
  return 0;
}

} // namespace coldbag
