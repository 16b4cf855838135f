#include "cli/record_again.h"

#include "cli/record_run.h"
#include "records/ledger_json.h"
#include "records/query.h"
#include "report/again_blocks.h"
#include "report/screen.h"
#include "run/judge.h"
#include "run/report_words.h"

#include <tbb/global_control.h>
#include <tbb/parallel_for.h>
#include <tbb/task_arena.h>

#include <algorithm>
#include <chrono>
#include <functional>
#include <mutex>
#include <thread>
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

/// Name of a share: as asked, with all that a verdict can hang on, so that unlike work is never mixed.
std::string share_name(const RecordWork& work) {
  std::string rests_on = work.given.text("treatment-now");
  for (const Edition& edition : work.tables.editions())
    rests_on += "\n" + edition.name + " " + edition.sha256;
  return work.given.text("share") + " " + hex_text(sha256(rests_on));
}

// What is kept of a run judged again by whoever took it: its verdict now, or why there is none behind "!".
std::string said_of(const JudgedAgain& again) {
  return again.why_not.empty() ? again.now : "!" + again.why_not;
}

JudgedAgain again_of(const Store& store, const SharedWork& done) {
  JudgedAgain again;
  again.number = done.number;
  const RowSubject subject = subject_of(entry_of(*store.row(done.number)));
  again.run = subject.run;
  again.then = subject.verdict;
  if (done.said->starts_with("!"))
    again.why_not = done.said->substr(1);
  else
    again.now = *done.said;
  return again;
}

/// Takes parts until nothing is left to take; each core by a connection of its own.
void take_all(const RecordWork& work, const std::string& name, const Change& change, std::size_t cores) {
  tbb::parallel_for(std::size_t{0}, cores, [&](std::size_t) {
    Store takes = opened_ledger(work);
    ReadInTurn ledger(opened_ledger(work));
    while (takes.take_share(name, [&](std::uint64_t number) {
      return said_of(judged_again(ledger, number, change, nullptr, work.tables));
    })) {
    }
  });
}

/// The same with other machines that were given the same name, tables and treatment.
std::vector<JudgedAgain> shared_again(const RecordWork& work, const std::vector<std::uint64_t>& numbers,
                                      const Change& change) {
  Store store = opened_ledger(work);
  if (!store.can_share())
    refuse_option("share", "a file is not shared by several machines",
                  "leave it out: all cores of this one are used; or keep the ledger in PostgreSQL");
  const std::string name = share_name(work);
  store.begin_share(name, numbers);
  const std::size_t cores = work.given.has("threads")
                                ? count_option(work.given, "threads")
                                : static_cast<std::size_t>(tbb::this_task_arena::max_concurrency());
  const auto is_said = [](const SharedWork& part) { return part.said.has_value(); };
  std::vector<SharedWork> done;
  // Another machine may still be at its last, or have died over it: then that one is to be had again.
  for (;;) {
    take_all(work, name, change, cores);
    done = store.share(name);
    if (std::ranges::all_of(done, is_said)) break;
    std::this_thread::sleep_for(std::chrono::milliseconds(100));
  }
  std::vector<JudgedAgain> all;
  for (const SharedWork& part : done)
    all.push_back(again_of(store, part));
  return all;
}

} // namespace

int judge_again(const RecordWork& work) {
  const std::string treatment = work.given.text("treatment-now");
  const Change change = [&](RunRequest& request) {
    if (!treatment.empty()) request.options.treatment = treatment;
  };
  ReadInTurn ledger(opened_ledger(work));
  std::vector<std::uint64_t> numbers;
  RowFilter filter = filter_of(work.given);
  filter.kind = word(EntryKind::run);
  for (const ListedRow& row : ledger.alone().list(filter))
    numbers.push_back(row.number);
  const auto all = work.given.has("share") ? shared_again(work, numbers, change)
                                           : all_again(ledger, numbers, change, nullptr, work);
  print(screen_text(again_blocks(all, work.words)));
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
