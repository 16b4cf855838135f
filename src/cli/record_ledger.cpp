#include "cli/record_ledger.h"

#include "cli/passphrase.h"
#include "cli/record_csv.h"
#include "cli/record_questions.h"
#include "cli/record_run.h"
#include "records/key_file.h"
#include "records/public_key.h"
#include "records/query.h"
#include "records/statement_rules.h"
#include "records/verify.h"
#include "report/layout.h"
#include "report/ledger_blocks.h"
#include "report/query_blocks.h"
#include "report/screen.h"

#include <optional>
#include <utility>

namespace coldbag {

namespace {

/// Writes a new key, locked with a passphrase where --passphrase asks for one.
SigningKey new_key(const RecordWork& work, const std::string& path) {
  SigningKey key = SigningKey::make();
  if (work.given.has("passphrase")) {
    const Secret passphrase = new_passphrase(work.words);
    write_key_file(path, key, &passphrase);
  } else {
    write_key_file(path, key, nullptr);
  }
  return key;
}

std::vector<TreeHead> seals_of(const Given& given) {
  std::vector<TreeHead> seals;
  for (const std::string& text : given.texts("seal")) {
    const auto seal = read_seal(trimmed_text(text));
    if (!seal)
      refuse_option("seal", "\"" + text + "\" is no seal",
                    "give the line that coldbag record seal printed, in quotes");
    seals.push_back(*seal);
  }
  return seals;
}

} // namespace

int start_ledger(const RecordWork& work) {
  const std::string where = needed_option(work, "ledger", "write for example --ledger farm.ledger");
  const std::string key_path = needed_option(work, "key", "write for example --key farm.key");
  const Entry first = entry_now(signer_of(work, Meaning::authorship), EntryKind::key);
  const SigningKey key = new_key(work, key_path);
  Store store = Store::make(where);
  begin_ledger(store, key, first);
  print(screen_text({Paragraph{work.words.text("record_started", {{"ledger", clean(where)}})},
                     Item{work.words.text("record_key_kept", {{"key", clean(key_path)}})},
                     Item{work.words.text("ledger_key", {{"fingerprint", fingerprint(key.public_key())}})},
                     Item{work.words.text("record_keep_apart")}}));
  return 0;
}

int list_ledger(const RecordWork& work) {
  if (work.given.has("open")) return list_open(work);
  if (work.given.has("csv")) return list_csv(work, filter_of(work.given));
  const Store store = opened_ledger(work);
  auto rows = store.list(filter_of(work.given));
  if (const auto chosen = runs_by_history(work, store))
    std::erase_if(rows, [&](const ListedRow& row) { return !chosen->contains(row.number); });
  print(screen_text(ledger_list_blocks(rows, work.words)));
  return 0;
}

int show_entry(const RecordWork& work) {
  const Store store = opened_ledger(work);
  if (work.operands.size() != 1)
    throw UserError(
        usage("record show needs the number of an entry", "write for example coldbag record show 12"));
  const auto row = store.row(entry_number(store, work.operands.front()));
  const Entry entry = entry_of(*row);
  Blocks blocks = entry_blocks(*row, entry, work.words);
  const auto fields = fields_of(read_record_fields(work.tables), entry.kind);
  if (entry.kind == EntryKind::run) {
    const History history = read_history(store, Reports::left_out);
    const FieldTexts& stated = run_of(history, row->number)->fields;
    append(blocks, field_blocks(fields, stated, work.words));
    append(blocks, empty_field_blocks(fields, stated, work.words));
    append(blocks, statements_about_blocks(history, row->number, work.words));
  } else if (is_statement(entry.kind)) {
    const FieldTexts stated = read_statement("entry", entry.content).fields;
    append(blocks, field_blocks(fields, stated, work.words));
    append(blocks, empty_field_blocks(fields, stated, work.words));
  }
  print(screen_text(blocks));
  return 0;
}

int change_key(const RecordWork& work) {
  const std::string path = needed_option(work, "new-key", "write for example --new-key farm-2.key");
  const std::string reason = needed_option(work, "reason", "say why the key is changed");
  Store store = opened_ledger(work);
  const Entry entry = entry_now(signer_of(work, Meaning::responsibility), EntryKind::key);
  std::optional<SigningKey> old_key;
  if (!work.given.has("lost")) old_key = signing_key(work);
  const SigningKey key = new_key(work, path);
  const std::uint64_t number =
      old_key ? add_succession(store, *old_key, key, entry, reason) : add_lost_key(store, key, entry, reason);
  Blocks blocks{Paragraph{work.words.text("record_key_changed",
                                          {{"number", std::to_string(number)}, {"key", clean(path)}})},
                Item{work.words.text("ledger_key", {{"fingerprint", fingerprint(key.public_key())}})}};
  if (!old_key)
    blocks.push_back(Paragraph{work.words.text("ledger_lost_key", {{"number", std::to_string(number)}}), 2,
                               Tone::warning});
  print(screen_text(blocks));
  return 0;
}

int verify(const RecordWork& work) {
  const Store store = opened_ledger(work);
  const bool recomputes = work.given.has("recompute");
  LookAtEntry look;
  if (recomputes)
    look = [&](std::uint64_t, const Entry& entry) {
      return entry.kind == EntryKind::run ? recomputed_difference(store, entry, work.tables) : "";
    };
  const auto seals = seals_of(work.given);
  const LedgerCheck check = verify_ledger(store, seals, look);
  print(screen_text(ledger_check_blocks(check, !seals.empty(), recomputes, work.words)));
  return check.fault ? broken_status : 0;
}

int seal(const RecordWork& work) {
  const LedgerCheck check = verify_ledger(opened_ledger(work), seals_of(work.given), {});
  if (check.fault) {
    print(screen_text(ledger_check_blocks(check, false, false, work.words)));
    return broken_status;
  }
  print(seal_text(check.head) + "\n");
  return 0;
}

} // namespace coldbag
