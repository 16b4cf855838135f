// What a ledger says in JSON beside its entries, and what it reads in theirs.
#pragma once

#include "records/entry.h"
#include "records/keys.h"
#include "records/merkle.h"
#include "records/store.h"

#include <optional>
#include <string>
#include <string_view>

namespace coldbag {

/// The bytes that are signed for a ledger of this length: canonical JSON that says of itself what it is, so
/// that no other signature of the key can be taken for one.
[[nodiscard]] std::string head_statement(const TreeHead& head);

/// What an entry is looked for by: its kind and times, and the texts "run", "vessel", "treatment" and
/// "verdict" of its content, without zero bytes, "" where it has none.
[[nodiscard]] RowSubject subject_of(const Entry& entry);

/// Content of a ledger's first entry: an object in canonical JSON, or "" for none, with the key that signs.
[[nodiscard]] std::string first_content(const std::string& content, const PublicKey& key);

/// Content of an entry from which on another key signs without a word of the old one, which was lost.
[[nodiscard]] std::string lost_key_content(const PublicKey& lost, const PublicKey& key,
                                           const std::string& reason);

/// Whether an entry says so of these two keys.
[[nodiscard]] bool says_lost(const Entry& entry, const PublicKey& lost, const PublicKey& key);

/// The key that such an entry names; nothing where it names none.
[[nodiscard]] std::optional<PublicKey> first_key(const Entry& entry);

} // namespace coldbag
