// The bytes of an entry that are hashed, and back. docs/formats/records.md has the keys.
#pragma once

#include "records/entry.h"

#include <string>
#include <string_view>

namespace coldbag {

/// Canonical JSON of exactly the members of an entry and the number of their form: the hash of these bytes
/// covers the content and, by their hashes, the attachments. Throws UserError with every complaint about the
/// entry. Content that is no canonical object or fills all levels of nesting, an offset that is no whole
/// minutes within a day and sizes over most_json_count are a caller's fault (checked).
[[nodiscard]] std::string entry_leaf(const Entry& entry);

/// The entry whose leaf this is. Throws UserError with every fault found where it is not canonical, a key is
/// missing or not known, a value is of the wrong kind, or it is of a later form. What is read gives the same
/// bytes again. Guarded by tests/records/entry_json_test.cpp.
[[nodiscard]] Entry read_entry(std::string_view source_name, std::string_view leaf);

} // namespace coldbag
