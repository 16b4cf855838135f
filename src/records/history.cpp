#include "records/history.h"

#include "records/entry_json.h"
#include "records/import.h"
#include "records/ledger.h"

#include <algorithm>
#include <map>
#include <set>
#include <utility>

namespace coldbag {

namespace {

std::string entry_name(std::uint64_t number) {
  return "entry " + std::to_string(number);
}

KeptRun kept_run(const LedgerRow& row, Entry&& entry, const Sha256& id) {
  KeptRun run;
  run.number = row.number;
  run.id = id;
  run.event_at = entry.event_at;
  run.entered_at = entry.entered_at;
  run.who = std::move(entry.who);
  run.content = read_run_content(entry_name(row.number), entry.content);
  run.attachments = std::move(entry.attachments);
  run.fields = run.content.fields;
  return run;
}

/// By what the foreign entry says, but for who brought it here and when.
KeptRun imported_run(const Store& store, const LedgerRow& row, Entry&& entry, const Sha256& id) {
  entry.content = read_entry("imported-entry.json", run_leaf(store, row)).content;
  KeptRun run = kept_run(row, std::move(entry), id);
  run.is_imported = true;
  return run;
}

KeptStatement kept_statement(const LedgerRow& row, Entry&& entry) {
  KeptStatement out;
  out.number = row.number;
  out.kind = entry.kind;
  out.event_at = entry.event_at;
  out.entered_at = entry.entered_at;
  out.who = std::move(entry.who);
  out.statement = read_statement(entry_name(row.number), entry.content);
  return out;
}

void put_right(History& history, const KeptStatement& amendment) {
  for (const std::uint64_t number : amendment.about)
    for (KeptRun& run : history.runs)
      if (run.number == number)
        for (const auto& [name, text] : amendment.statement.fields)
          if (name != "reason") run.fields[name] = text;
}

History history_of(const Store& store, Reports reports, const LookAtRun& look) {
  History history;
  std::map<EntryId, std::uint64_t> number_of;
  store.each_row(0, [&](const LedgerRow& row, const RowSubject&) {
    const Sha256 id = leaf_hash(row.leaf);
    number_of[id] = row.number;
    Entry entry = entry_of(row);
    if (entry.kind == EntryKind::key) return;
    if (entry.kind == EntryKind::run || entry.kind == EntryKind::imported) {
      history.runs.push_back(entry.kind == EntryKind::run ? kept_run(row, std::move(entry), id)
                                                          : imported_run(store, row, std::move(entry), id));
      look(history.runs.back());
      if (reports == Reports::left_out) std::string().swap(history.runs.back().content.report);
      return;
    }
    std::vector<std::uint64_t> about;
    for (const EntryId& older : entry.refers_to)
      if (const auto found = number_of.find(older); found != number_of.end()) about.push_back(found->second);
    KeptStatement statement = kept_statement(row, std::move(entry));
    statement.about = std::move(about);
    if (statement.kind == EntryKind::amendment) put_right(history, statement);
    history.statements.push_back(std::move(statement));
  });
  return history;
}

} // namespace

History read_history(const Store& store, Reports reports) {
  return history_of(store, reports, [](const KeptRun&) {});
}

History read_history(const Store& store, const LookAtRun& look) {
  return history_of(store, Reports::left_out, look);
}

const KeptRun* run_of(const History& history, std::uint64_t number) {
  const auto found = std::ranges::lower_bound(history.runs, number, {}, &KeptRun::number);
  return found != history.runs.end() && found->number == number ? &*found : nullptr;
}

std::vector<std::uint64_t> runs_about(const History& history, const KeptStatement& statement) {
  std::set<std::uint64_t> runs;
  for (const std::uint64_t number : statement.about) {
    if (run_of(history, number) != nullptr) {
      runs.insert(number);
      continue;
    }
    // What it refers to is always older, so this ends.
    const auto older = std::ranges::lower_bound(history.statements, number, {}, &KeptStatement::number);
    if (older != history.statements.end() && older->number == number)
      runs.merge([&] {
        const auto its = runs_about(history, *older);
        return std::set<std::uint64_t>(its.begin(), its.end());
      }());
  }
  return {runs.begin(), runs.end()};
}

} // namespace coldbag
