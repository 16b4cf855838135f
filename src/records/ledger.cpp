#include "records/ledger.h"

#include "errors/our_fault.h"
#include "errors/user_error.h"
#include "records/base64.h"
#include "records/entry_json.h"
#include "records/ledger_json.h"
#include "records/packed.h"
#include "records/public_key.h"
#include "records/succession_json.h"

#include <algorithm>
#include <charconv>
#include <iterator>
#include <set>
#include <utility>

namespace coldbag {

namespace {

std::string entry_name(std::uint64_t number) {
  return "entry " + std::to_string(number);
}

StoredFile stored(const KeptFile& file) {
  StoredFile out{sha256(file.bytes), file.bytes.size(), base64_text(packed(file.name, file.bytes)), {}};
  out.packed_sha256 = sha256(out.packed);
  return out;
}

Frontier frontier_of(const std::optional<LedgerRow>& last) {
  if (!last) return {};
  const std::optional<Frontier> read = Frontier::read(last->frontier);
  if (!read)
    throw UserError(bad_data("the ledger's last entry has been altered",
                             "run coldbag record verify, and take a copy that is whole"));
  return *read;
}

/// The row that follows `last`, signed with all before it.
LedgerRow next_row(const std::optional<LedgerRow>& last, std::string leaf, const SigningKey& key) {
  Frontier frontier = frontier_of(last);
  LedgerRow row;
  row.number = frontier.head().size;
  const EntryId id = leaf_hash(leaf);
  frontier.append(id);
  row.id = hex_text(id);
  row.leaf = std::move(leaf);
  row.root = hex_text(frontier.head().root);
  row.frontier = frontier.text();
  row.signature = signature_text(key.sign(head_statement(frontier.head())));
  row.key = public_key_text(key.public_key());
  return row;
}

void check_key(const std::optional<LedgerRow>& last, const SigningKey& key) {
  if (last && last->key != public_key_text(key.public_key()))
    throw UserError(bad_data("this key is not the one that the ledger is signed with",
                             "use the key that signed its last entry"));
}

void check_references(const Store& store, const Entry& entry, const std::set<EntryId>& ours) {
  for (const EntryId& id : entry.refers_to)
    if (!ours.contains(id) && !store.number_of(hex_text(id)))
      throw UserError(bad_data("the entry refers to \"" + hex_text(id) + "\", which is not in the ledger",
                               "name an entry that is"));
}

/// What need not be made while other writers wait.
struct Prepared {
  std::string leaf;
  RowSubject subject;
  std::vector<StoredFile> files;
};

} // namespace

void begin_ledger(Store& store, const SigningKey& key, Entry first) {
  first.kind = EntryKind::key;
  first.attachments.clear();
  first.content = first_content(first.content, key.public_key());
  store.append([&](const std::optional<LedgerRow>& last) {
    if (last) throw UserError(bad_data("the ledger has entries already", "use it as it is"));
    return std::vector{NewRow{next_row(last, entry_leaf(first), key), subject_of(first), {}}};
  });
}

NewEntry with_files(Entry entry, std::vector<KeptFile> files) {
  entry.attachments.clear();
  for (const KeptFile& file : files)
    entry.attachments.push_back(attachment_of(file.name, file.bytes));
  return {std::move(entry), std::move(files)};
}

EntryId id_of(const Entry& entry) {
  return leaf_hash(entry_leaf(entry));
}

std::uint64_t add_entries(Store& store, const SigningKey& key, const std::vector<NewEntry>& entries) {
  std::vector<Prepared> prepared;
  std::set<EntryId> ours;
  for (const NewEntry& made : entries) {
    check_references(store, made.entry, ours);
    Prepared& one = prepared.emplace_back(Prepared{entry_leaf(made.entry), subject_of(made.entry), {}});
    ours.insert(leaf_hash(one.leaf));
    std::ranges::transform(made.files, std::back_inserter(one.files), stored);
  }
  std::uint64_t first = 0;
  store.append([&](std::optional<LedgerRow> last) {
    if (!last)
      throw UserError(bad_data("the ledger has no first entry", "make one with coldbag record start"));
    check_key(last, key);
    first = last->number + 1;
    std::vector<NewRow> rows;
    for (const Prepared& one : prepared) {
      rows.push_back({next_row(last, one.leaf, key), one.subject, one.files});
      last = rows.back().row;
    }
    return rows;
  });
  return first;
}

std::uint64_t add_entry(Store& store, const SigningKey& key, Entry entry,
                        const std::vector<KeptFile>& files) {
  return add_entries(store, key, {with_files(std::move(entry), files)});
}

std::uint64_t add_succession(Store& store, const SigningKey& old_key, const SigningKey& new_key, Entry entry,
                             const std::string& reason) {
  entry.kind = EntryKind::key;
  entry.attachments.clear();
  entry.content = succession_json(succeed(old_key, new_key, entry.event_at.at, reason));
  const std::string leaf = entry_leaf(entry);
  const RowSubject subject = subject_of(entry);
  std::uint64_t number = 0;
  store.append([&](const std::optional<LedgerRow>& last) {
    check_key(last, old_key);
    NewRow made{next_row(last, leaf, new_key), subject, {}};
    number = made.row.number;
    return std::vector{std::move(made)};
  });
  return number;
}

std::uint64_t add_lost_key(Store& store, const SigningKey& new_key, Entry entry, const std::string& reason) {
  entry.kind = EntryKind::key;
  entry.attachments.clear();
  std::uint64_t number = 0;
  store.append([&](const std::optional<LedgerRow>& last) {
    const auto lost = last ? read_public_key_text(last->key) : std::nullopt;
    if (!lost)
      throw UserError(bad_data("the ledger's last entry has been altered",
                               "run coldbag record verify, and take a copy that is whole"));
    entry.content = lost_key_content(*lost, new_key.public_key(), reason);
    NewRow made{next_row(last, entry_leaf(entry), new_key), subject_of(entry), {}};
    number = made.row.number;
    return std::vector{std::move(made)};
  });
  return number;
}

std::string file_bytes(const Store& store, const Attachment& attachment) {
  const std::optional<StoredFile> kept = store.file(attachment.sha256);
  if (!kept)
    throw UserError(bad_data("the file \"" + attachment.name + "\" is not in the ledger",
                             "take a copy of the ledger that is whole"));
  const std::optional<std::string> frame = read_base64(kept->packed);
  if (!frame || sha256(kept->packed) != kept->packed_sha256 || kept->size_bytes != attachment.size_bytes)
    throw UserError(bad_data("the file \"" + attachment.name + "\" has been altered",
                             "take a copy of the ledger that is whole"));
  std::string bytes = unpacked(attachment.name, *frame, attachment.size_bytes);
  if (!is_of(attachment, bytes))
    throw UserError(bad_data("the file \"" + attachment.name + "\" has been altered",
                             "take a copy of the ledger that is whole"));
  return bytes;
}

Entry entry_of(const LedgerRow& row) {
  return read_entry(entry_name(row.number), row.leaf);
}

std::string seal_text(const TreeHead& head) {
  constexpr std::size_t group = 4;
  std::string out = std::to_string(head.size);
  const std::string digits = hex_text(head.root);
  for (std::size_t at = 0; at < digits.size(); at += group)
    out += " " + digits.substr(at, group);
  return out;
}

std::optional<TreeHead> read_seal(std::string_view text) {
  const std::size_t blank = std::min(text.find(' '), text.size());
  TreeHead head;
  const auto [end, fault] = std::from_chars(text.data(), text.data() + blank, head.size);
  if (fault != std::errc{} || end != text.data() + blank) return std::nullopt;
  std::string digits;
  for (const char c : text.substr(blank))
    if (c != ' ') digits += c;
  const std::optional<Sha256> root = read_hex_text(digits);
  if (!root) return std::nullopt;
  head.root = *root;
  return head;
}

} // namespace coldbag
