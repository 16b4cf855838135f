// A ledger of entries: each is signed with everything before it, and none is changed.
#pragma once

#include "records/entry.h"
#include "records/keys.h"
#include "records/merkle.h"
#include "records/store.h"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace coldbag {

/// A file to be kept with an entry, bit for bit.
struct KeptFile {
  std::string name;
  std::string bytes;
};

/// Begins a ledger: its first entry names the key that signs. Throws UserError as the store does, or where
/// there are entries already.
void begin_ledger(Store& store, const SigningKey& key, Entry first);

/// An entry with its files, ready to be added.
struct NewEntry {
  Entry entry;
  std::vector<KeptFile> files;
};

/// `entry.attachments` are made of the files, so that its id is known before it is added.
[[nodiscard]] NewEntry with_files(Entry entry, std::vector<KeptFile> files);
/// By what a later entry refers to it.
[[nodiscard]] EntryId id_of(const Entry& entry);

/// Adds entries in their order, all or none; a later one may refer to an earlier one. The number of the
/// first.
std::uint64_t add_entries(Store& store, const SigningKey& key, const std::vector<NewEntry>& entries);

/// Adds an entry with its files; `entry.attachments` are made of them. Throws UserError where the entry has
/// faults, refers to what is not in the ledger, the key is not the one the ledger is signed with, or the
/// store cannot take it. The number of the entry.
std::uint64_t add_entry(Store& store, const SigningKey& key, Entry entry, const std::vector<KeptFile>& files);

/// The same for a key that follows the old one: the entry is signed by the new one.
std::uint64_t add_succession(Store& store, const SigningKey& old_key, const SigningKey& new_key, Entry entry,
                             const std::string& reason);

/// The same without the old key, which was lost. Anybody who may write to the ledger can do so: whoever
/// verifies it is told.
std::uint64_t add_lost_key(Store& store, const SigningKey& new_key, Entry entry, const std::string& reason);

/// The bytes of a file of an entry. Throws UserError where they are not there or not what the entry says.
[[nodiscard]] std::string file_bytes(const Store& store, const Attachment& attachment);

/// The entry of a row. Throws UserError where it is none.
[[nodiscard]] Entry entry_of(const LedgerRow& row);

/// Length and root to be written down or handed over: "12 9f86 d081 ...". Whoever has it can tell later
/// whether these entries are still what they were.
[[nodiscard]] std::string seal_text(const TreeHead& head);
/// What seal_text wrote, with blanks or none between the digits; nothing where it is anything else.
[[nodiscard]] std::optional<TreeHead> read_seal(std::string_view text);

} // namespace coldbag
