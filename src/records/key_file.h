// A signing key in a file: plain text, its owner's alone, locked with a passphrase where one is wanted.
// docs/formats/records.md has its form.
#pragma once

#include "records/keys.h"

#include <cstdint>
#include <functional>
#include <string>
#include <string_view>

namespace coldbag {

/// What one try of a passphrase costs (Argon2id, RFC 9106): passes over so much memory. Stands in the file,
/// so that it can be raised later. The default is the memory and passes that RFC 9106, section 4, recommends
/// where memory is short; some tenths of a second.
struct PassphraseCost {
  std::uint64_t passes = 3;
  std::uint64_t memory_bytes = 67108864;
};

/// Called once, and only where the key is locked.
using AskPassphrase = std::function<Secret()>;

/// The text of a key file. passphrase: nullptr leaves the key unlocked; an empty one is a UserError. Guarded
/// by tests/records/key_file_test.cpp.
[[nodiscard]] Secret key_file_text(const SigningKey& key, const Secret* passphrase,
                                   const PassphraseCost& cost = {});
/// Throws UserError where the text is no key file, is damaged, asks for more than 16 passes or 1 GiB, or the
/// passphrase does not open it.
[[nodiscard]] SigningKey read_key_file_text(std::string_view source_name, const Secret& text,
                                            const AskPassphrase& ask);

/// A new file, as write_owner_file makes it.
void write_key_file(const std::string& path, const SigningKey& key, const Secret* passphrase);
/// Refuses a file that others can read, as read_owner_file does.
[[nodiscard]] SigningKey read_key_file(const std::string& path, const AskPassphrase& ask);

} // namespace coldbag
