#include "records/verify.h"

#include "errors/user_error.h"
#include "records/import.h"
#include "records/ledger_json.h"
#include "records/public_key.h"
#include "records/succession_json.h"

#include <algorithm>
#include <set>
#include <utility>

namespace coldbag {

namespace {

/// Ends the reading at the first fault.
struct Found {
  LedgerFault fault;
};

class Verifier {
 public:
  Verifier(const Store& store, const std::vector<TreeHead>& seals, const LookAtEntry& look)
      : store_(store), seals_(seals), look_(look) {}

  LedgerCheck check() {
    try {
      store_.at_one_moment([&] {
        store_.each_row(0, [&](const LedgerRow& row, const RowSubject& subject) { take(row, subject); });
        check_list();
        check_seals_beyond();
        check_files_left();
      });
    } catch (Found& found) {
      out_.fault = std::move(found.fault);
    }
    out_.head = frontier_.head();
    return std::move(out_);
  }

 private:
  [[noreturn]] void fail(const std::string& key, std::string detail = "") const {
    throw Found{{out_.entries, key, std::move(detail)}};
  }

  void take(const LedgerRow& row, const RowSubject& subject) {
    if (row.number != out_.entries) fail("ledger_fault_number", std::to_string(row.number));
    const Entry entry = read(row);
    const Sha256 leaf = leaf_hash(row.leaf);
    frontier_.append(leaf);
    if (row.id != hex_text(leaf)) fail("ledger_fault_id");
    if (row.root != hex_text(frontier_.head().root)) fail("ledger_fault_root");
    if (row.frontier != frontier_.text()) fail("ledger_fault_frontier");
    check_signature(row, entry);
    if (subject != subject_of(entry)) fail("ledger_fault_subject");
    rows_.push_back({row.number, subject});
    for (const EntryId& id : entry.refers_to)
      if (!leaves_.contains(id)) fail("ledger_fault_reference", hex_text(id));
    for (const TreeHead& seal : seals_)
      if (seal.size == frontier_.head().size && seal != frontier_.head()) fail("ledger_fault_seal");
    check_files(entry);
    if (entry.kind == EntryKind::imported)
      if (std::string wrong = wrong_with_import(store_, entry); !wrong.empty())
        fail("ledger_fault_import", std::move(wrong));
    if (look_)
      if (std::string wrong = look_(row.number, entry); !wrong.empty())
        fail("ledger_fault_recomputed", std::move(wrong));
    leaves_.insert(leaf);
    ++out_.entries;
    out_.bytes += row.leaf.size();
  }

  [[nodiscard]] Entry read(const LedgerRow& row) const {
    try {
      return entry_of(row);
    } catch (const UserError& error) {
      fail("ledger_fault_leaf", error.complaints().front().problem);
    }
  }

  /// The first entry names the first key, an entry of a succession the next; whoever else signs is a
  /// stranger.
  void check_signature(const LedgerRow& row, const Entry& entry) {
    const std::optional<PublicKey> key = read_public_key_text(row.key);
    if (!key) fail("ledger_fault_key");
    if (out_.keys.empty()) {
      check_first_key(entry, *key);
      out_.keys.push_back(*key);
    } else if (*key != out_.keys.back()) {
      if (says_lost(entry, out_.keys.back(), *key))
        out_.lost.push_back(row.number);
      else
        check_succession(entry, *key);
      out_.keys.push_back(*key);
    }
    const std::optional<Signature> signature = read_signature_text(row.signature);
    if (!signature || !is_signed_by(*key, head_statement(frontier_.head()), *signature))
      fail("ledger_fault_signature");
  }

  void check_first_key(const Entry& entry, const PublicKey& key) const {
    if (first_key(entry) != key) fail("ledger_fault_first_key");
  }

  void check_succession(const Entry& entry, const PublicKey& key) const {
    if (entry.kind != EntryKind::key) fail("ledger_fault_stranger");
    try {
      const SignedSuccession succession = read_succession("entry", entry.content);
      if (!is_valid(succession) || succession.succession.old_key != out_.keys.back() ||
          succession.succession.new_key != key)
        fail("ledger_fault_stranger");
    } catch (const UserError&) {
      fail("ledger_fault_stranger");
    }
  }

  void check_files(const Entry& entry) {
    for (const Attachment& attachment : entry.attachments) {
      if (!seen_.insert(attachment.sha256).second) continue;
      try {
        out_.bytes += file_bytes(store_, attachment).size();
      } catch (const UserError& error) {
        fail("ledger_fault_file", attachment.name + ": " + error.complaints().front().problem);
      }
      ++out_.files;
    }
  }

  /// The database finds by a copy of its own what it lists, and a row before the first is in no order but
  /// this.
  void check_list() const {
    const std::vector<ListedRow> listed = store_.list({});
    const auto [mine, other] = std::ranges::mismatch(rows_, listed);
    if (mine != rows_.end() || other != listed.end())
      throw Found{{mine != rows_.end() ? mine->number : out_.entries, "ledger_fault_subject", ""}};
  }

  void check_seals_beyond() const {
    for (const TreeHead& seal : seals_)
      if (seal.size > out_.entries) fail("ledger_fault_short", std::to_string(seal.size));
    if (out_.entries == 0) fail("ledger_fault_empty");
  }

  /// Files that no entry knows were brought in by somebody else.
  void check_files_left() const {
    for (const Sha256& hash : store_.file_hashes())
      if (!seen_.contains(hash)) fail("ledger_fault_stray_file", hex_text(hash));
  }

  const Store& store_;
  const std::vector<TreeHead>& seals_;
  const LookAtEntry& look_;
  Frontier frontier_;
  std::set<Sha256> leaves_, seen_;
  std::vector<ListedRow> rows_;
  LedgerCheck out_;
};

} // namespace

LedgerCheck verify_ledger(const Store& store, const std::vector<TreeHead>& seals, const LookAtEntry& look) {
  return Verifier(store, seals, look).check();
}

} // namespace coldbag
