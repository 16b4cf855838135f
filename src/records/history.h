// A ledger as the years of runs it tells of: runs with what was stated about each later.
#pragma once

#include "records/entry.h"
#include "records/run_entry_json.h"
#include "records/statement_json.h"
#include "records/store.h"

#include <cstdint>
#include <functional>
#include <vector>

namespace coldbag {

struct KeptRun {
  std::uint64_t number = 0;
  EntryId id{};
  ClockedInstant event_at;
  ClockedInstant entered_at;
  Signer who;
  RunContent content;
  std::vector<Attachment> attachments;
  bool is_imported = false; ///< from another ledger: content and files are those of the foreign entry
  FieldTexts fields;        ///< as given with the run, and over them those of its amendments, oldest first
};

struct KeptStatement {
  std::uint64_t number = 0;
  EntryKind kind = EntryKind::review;
  ClockedInstant event_at;
  ClockedInstant entered_at;
  Signer who;
  std::vector<std::uint64_t> about; ///< numbers of what it refers to
  Statement statement;
};

struct History {
  std::vector<KeptRun> runs; ///< in the order of their entries
  std::vector<KeptStatement> statements;
};

/// Whether the reports of the runs are wanted too: by far the most of a ledger.
enum class Reports { kept, left_out };

/// Reads every entry of a run or a statement; an imported run too; those of keys are passed over. Nothing is
/// verified. Throws UserError as the store does, and where an entry cannot be read.
[[nodiscard]] History read_history(const Store& store, Reports reports = Reports::kept);

/// The same without reports; each run is shown with its own before that is let go, so that one is in memory
/// at a time. Fields are as given with the run then: amendments come later.
using LookAtRun = std::function<void(const KeptRun&)>;
[[nodiscard]] History read_history(const Store& store, const LookAtRun& look);

/// The run with this entry's number, nullptr where there is none.
[[nodiscard]] const KeptRun* run_of(const History& history, std::uint64_t number);

/// The runs a statement is about, also by what it refers to: an action on a deviation is about the
/// deviation's run.
[[nodiscard]] std::vector<std::uint64_t> runs_about(const History& history, const KeptStatement& statement);

} // namespace coldbag
