#include "records/import.h"

#include "errors/user_error.h"
#include "records/entry_json.h"
#include "records/ledger_json.h"
#include "records/public_key.h"

#include <algorithm>
#include <optional>
#include <set>
#include <utility>

namespace coldbag {

namespace {

constexpr const char* leaf_name = "imported-entry.json";
constexpr std::size_t most_at_once = 20;

/// Of the foreign files all keep their names, by which the run is judged again.
std::string free_name(const std::vector<KeptFile>& files) {
  std::string name = leaf_name;
  for (int n = 2; std::ranges::find(files, name, &KeptFile::name) != files.end(); ++n)
    name = std::to_string(n) + "-" + leaf_name;
  return name;
}

NewEntry import_entry(const ForeignRun& run, Entry entry) {
  const Entry foreign = read_entry("entry.json", run.leaf);
  const RowSubject subject = subject_of(foreign);
  ImportContent content;
  content.run = subject.run;
  content.vessel = subject.vessel;
  content.treatment = subject.treatment;
  content.verdict = subject.verdict;
  content.leaf = free_name(run.files);
  content.proof = run.proof;
  content.signature = run.signature;
  content.key = run.key;
  entry.kind = EntryKind::imported;
  entry.content = import_content_json(content);
  entry.event_at = foreign.event_at;
  entry.refers_to.clear();
  std::vector<KeptFile> files = run.files;
  files.push_back({content.leaf, run.leaf});
  return with_files(std::move(entry), std::move(files));
}

ImportContent import_of(const Entry& entry) {
  return read_import_content("entry", entry.content);
}

/// The foreign entry as it was kept.
std::string foreign_leaf(const Store& store, const Entry& entry, const ImportContent& content) {
  const auto found = std::ranges::find(entry.attachments, content.leaf, &Attachment::name);
  if (found == entry.attachments.end())
    throw UserError(bad_data("the foreign entry is not kept", "take a copy of the ledger that is whole"));
  std::string leaf = file_bytes(store, *found);
  if (leaf_hash(leaf) != content.proof.leaf)
    throw UserError(bad_data("the foreign entry is not the one that the proof is of",
                             "take a copy of the ledger that is whole"));
  return leaf;
}

/// Ids of all runs that the ledger has, its own and those of others.
std::set<EntryId> runs_there(const Store& store) {
  std::set<EntryId> ids;
  RowFilter filter;
  filter.kind = word(EntryKind::imported);
  for (const ListedRow& listed : store.list(filter))
    ids.insert(import_of(entry_of(*store.row(listed.number))).proof.leaf);
  return ids;
}

bool has_run(const Store& store, const std::set<EntryId>& imported, const EntryId& id) {
  return imported.contains(id) || store.number_of(hex_text(id));
}

/// Everything of a ledger that its runs are proved by.
struct ForeignLedger {
  std::vector<Sha256> leaves;
  TreeHead head;
  Signature signature;
  PublicKey key;
};

ForeignLedger read_foreign(const Store& from) {
  ForeignLedger out;
  std::optional<LedgerRow> last;
  from.each_row(0, [&](const LedgerRow& row, const RowSubject&) {
    out.leaves.push_back(leaf_hash(row.leaf));
    last = row;
  });
  const auto signature = last ? read_signature_text(last->signature) : std::nullopt;
  const auto key = last ? read_public_key_text(last->key) : std::nullopt;
  if (!signature || !key)
    throw UserError(bad_data("the other ledger has no signature", "take a copy that is whole"));
  out.head = tree_head(out.leaves);
  out.signature = *signature;
  out.key = *key;
  return out;
}

ForeignRun run_of(const Store& from, const ForeignLedger& ledger, std::uint64_t number) {
  const LedgerRow row = *from.row(number);
  ForeignRun run;
  run.leaf = row.leaf;
  run.proof = {ledger.leaves[number], number, ledger.head, inclusion_proof(ledger.leaves, number)};
  run.signature = ledger.signature;
  run.key = ledger.key;
  for (const Attachment& attachment : entry_of(row).attachments)
    run.files.push_back({attachment.name, file_bytes(from, attachment)});
  return run;
}

std::string bytes_of(const std::vector<KeptFile>& files, const std::string& name) {
  const auto found = std::ranges::find(files, name, &KeptFile::name);
  if (found == files.end())
    throw UserError(
        bad_data("the export has no file \"" + name + "\"", "take one as coldbag record export wrote it"));
  return found->bytes;
}

/// What of a foreign run does not hold: by its proof, its signature, its own bytes.
std::string wrong_with(const std::string& leaf, const InclusionProof& proof, const Signature& signature,
                       const PublicKey& key) {
  if (leaf_hash(leaf) != proof.leaf) return "the foreign entry is not the one that the proof is of";
  if (!holds(proof)) return "the proof does not hold";
  if (!is_signed_by(key, head_statement(proof.head), signature))
    return "the signature is not of the foreign ledger";
  return "";
}

} // namespace

ForeignRun foreign_run(const std::vector<KeptFile>& exported) {
  constexpr std::string_view folder = "files/";
  ForeignRun run;
  run.leaf = bytes_of(exported, "entry.json");
  const auto proof = read_proof_text(bytes_of(exported, "proof.txt"));
  const std::string signature = bytes_of(exported, "head.sig");
  run.key = read_public_key_pem("key.pem", bytes_of(exported, "key.pem"));
  if (!proof || signature.size() != run.signature.bytes.size() ||
      bytes_of(exported, "head.json") != head_statement(proof->head))
    throw UserError(
        bad_data("the proof of the export does not hold", "take one as coldbag record export wrote it"));
  run.proof = *proof;
  std::ranges::copy(signature, run.signature.bytes.begin());
  if (std::string wrong = wrong_with(run.leaf, run.proof, run.signature, run.key); !wrong.empty())
    throw UserError(bad_data(std::move(wrong), "take one as coldbag record export wrote it"));
  const Entry entry = read_entry("entry.json", run.leaf);
  if (entry.kind != EntryKind::run)
    throw UserError(
        bad_data("the export is of no run", "import a run from the ledger in which it was judged"));
  for (const Attachment& attachment : entry.attachments) {
    std::string bytes = bytes_of(exported, std::string(folder) + attachment.name);
    if (!is_of(attachment, bytes))
      throw UserError(bad_data("the file \"" + attachment.name + "\" has been altered",
                               "take one as coldbag record export wrote it"));
    run.files.push_back({attachment.name, std::move(bytes)});
  }
  return run;
}

Imported import_ledger(const Store& from, Store& to, const SigningKey& key, const Entry& by) {
  const ForeignLedger ledger = read_foreign(from);
  const std::set<EntryId> imported = runs_there(to);
  RowFilter filter;
  filter.kind = word(EntryKind::run);
  Imported out;
  std::vector<NewEntry> entries;
  const auto put = [&] {
    if (!entries.empty()) (void)add_entries(to, key, entries);
    out.added += entries.size();
    entries.clear();
  };
  for (const ListedRow& listed : from.list(filter)) {
    if (listed.number >= ledger.leaves.size()) break; // added after the head that proves the others
    if (has_run(to, imported, ledger.leaves[listed.number])) {
      ++out.there;
      continue;
    }
    entries.push_back(import_entry(run_of(from, ledger, listed.number), by));
    if (entries.size() >= most_at_once) put();
  }
  put();
  return out;
}

Imported import_run(const ForeignRun& run, Store& to, const SigningKey& key, const Entry& by) {
  if (has_run(to, runs_there(to), run.proof.leaf)) return {0, 1};
  (void)add_entries(to, key, {import_entry(run, by)});
  return {1, 0};
}

std::string run_leaf(const Store& store, const LedgerRow& row) {
  const Entry entry = entry_of(row);
  return entry.kind == EntryKind::imported ? foreign_leaf(store, entry, import_of(entry)) : row.leaf;
}

std::string wrong_with_import(const Store& store, const Entry& entry) {
  try {
    const ImportContent content = import_of(entry);
    const std::string leaf = foreign_leaf(store, entry, content);
    if (std::string wrong = wrong_with(leaf, content.proof, content.signature, content.key); !wrong.empty())
      return wrong;
    const Entry foreign = read_entry("imported-entry.json", leaf);
    const RowSubject subject = subject_of(foreign);
    if (foreign.kind != EntryKind::run || foreign.event_at != entry.event_at || subject.run != content.run ||
        subject.vessel != content.vessel || subject.treatment != content.treatment ||
        subject.verdict != content.verdict)
      return "the foreign entry is of another run";
    for (const Attachment& file : foreign.attachments)
      if (std::ranges::find(entry.attachments, file) == entry.attachments.end())
        return "a file of the foreign entry is not kept: " + file.name;
    return "";
  } catch (const UserError& error) {
    return error.complaints().front().problem;
  }
}

} // namespace coldbag
