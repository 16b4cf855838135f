// A public key as text: a PEM file that other programs read, the line in it, a fingerprint to read aloud.
#pragma once

#include "records/keys.h"

#include <optional>
#include <string>
#include <string_view>

namespace coldbag {

/// SubjectPublicKeyInfo (RFC 8410) in base64, one line of 60 letters: what stands in a PEM file.
[[nodiscard]] std::string public_key_text(const PublicKey& key);
/// What public_key_text wrote; nothing where it is anything else.
[[nodiscard]] std::optional<PublicKey> read_public_key_text(std::string_view text);

/// That line between "-----BEGIN PUBLIC KEY-----" and "-----END PUBLIC KEY-----" (RFC 7468).
[[nodiscard]] std::string public_key_pem(const PublicKey& key);
/// Reads one such block; blanks, line ends of any kind and text around it do not matter. Throws UserError
/// where there is none, or its key is no Ed25519 key.
[[nodiscard]] PublicKey read_public_key_pem(std::string_view source_name, std::string_view pem);

/// SHA-256 of the SubjectPublicKeyInfo in sixteen groups of four hexadecimal digits: the digits that
/// `openssl pkey -pubin -in key.pem -outform DER | sha256sum` prints. Guarded by
/// tests/records/public_key_test.cpp.
[[nodiscard]] std::string fingerprint(const PublicKey& key);

} // namespace coldbag
