#include "records/export.h"

#include "errors/user_error.h"
#include "records/ledger_json.h"
#include "records/proof_text.h"
#include "records/public_key.h"

#include <algorithm>
#include <optional>
#include <set>
#include <utility>

namespace coldbag {

namespace {

/// All that one reading of the rows gives.
struct ReadRows {
  std::vector<Sha256> leaves;
  std::vector<ProvedEntry> wanted; ///< the run first
  std::optional<LedgerRow> last;
};

bool is_about(const Entry& entry, const std::set<EntryId>& ids) {
  return std::ranges::any_of(entry.refers_to, [&](const EntryId& id) { return ids.contains(id); });
}

/// Whether it is worth to read a leaf for that: most of them are long, and of other runs.
bool may_be_about(const std::string& leaf, const std::set<EntryId>& ids) {
  return std::ranges::any_of(ids,
                             [&](const EntryId& id) { return leaf.find(hex_text(id)) != std::string::npos; });
}

bool is_run(EntryKind kind) {
  return kind == EntryKind::run || kind == EntryKind::imported;
}

ReadRows read_rows(const Store& store, std::uint64_t number) {
  ReadRows out;
  std::set<EntryId> ids;
  store.each_row(0, [&](const LedgerRow& row, const RowSubject&) {
    const EntryId id = leaf_hash(row.leaf);
    out.leaves.push_back(id);
    out.last = row;
    if (row.number < number || (row.number > number && !may_be_about(row.leaf, ids))) return;
    Entry entry = entry_of(row);
    if (row.number != number && !is_about(entry, ids)) return;
    ids.insert(id);
    out.wanted.push_back({row.number, id, row.leaf, std::move(entry)});
  });
  return out;
}

void add_entry_files(const Store& store, const ProvedEntry& of, const ReadRows& rows, const TreeHead& head,
                     const std::string& folder, std::vector<KeptFile>& files) {
  const InclusionProof proof{of.id, of.number, head, inclusion_proof(rows.leaves, of.number)};
  files.push_back({folder + "entry.json", of.leaf});
  files.push_back({folder + "proof.txt", proof_text(proof)});
  for (const Attachment& attachment : of.entry.attachments)
    files.push_back({folder + "files/" + attachment.name, file_bytes(store, attachment)});
}

} // namespace

Exported exported(const Store& store, std::uint64_t number) {
  ReadRows rows = read_rows(store, number);
  Exported out;
  if (!rows.wanted.empty()) out.run = rows.wanted.front();
  if (rows.wanted.empty() || !is_run(out.run.entry.kind))
    throw UserError(bad_data("entry " + std::to_string(number) + " is no run",
                             "name the entry of a run; what was stated about it goes with it"));
  out.about.assign(rows.wanted.begin() + 1, rows.wanted.end());
  out.head = tree_head(rows.leaves);
  const auto key = read_public_key_text(rows.last->key);
  const auto signature = read_signature_text(rows.last->signature);
  const std::string statement = head_statement(out.head);
  if (rows.last->root != hex_text(out.head.root) || !key || !signature ||
      !is_signed_by(*key, statement, *signature))
    throw UserError(bad_data("the ledger does not hold, and nothing of it can be shown",
                             "run coldbag record verify, and take a copy that is whole"));
  out.key = *key;
  add_entry_files(store, out.run, rows, out.head, "", out.files);
  for (const ProvedEntry& about : out.about)
    add_entry_files(store, about, rows, out.head, "about/" + std::to_string(about.number) + "/", out.files);
  out.files.push_back({"head.json", statement});
  out.files.push_back({"head.sig", {signature->bytes.begin(), signature->bytes.end()}});
  out.files.push_back({"key.pem", public_key_pem(*key)});
  return out;
}

std::vector<KeptFile> with_sums(std::vector<KeptFile> files) {
  std::string sums;
  for (const KeptFile& file : files)
    sums += sha256_hex(file.bytes) + "  " + file.name + "\n";
  files.push_back({"sha256sums", std::move(sums)});
  return files;
}

} // namespace coldbag
