// Keys that sign: Ed25519, RFC 8032, by libsodium.
#pragma once

#include "records/secret.h"

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace coldbag {

struct PublicKey {
  std::array<std::uint8_t, 32> bytes{};
  bool operator==(const PublicKey&) const = default;
};

struct Signature {
  std::array<std::uint8_t, 64> bytes{};
  bool operator==(const Signature&) const = default;
};

/// A secret key with its public half. Moved, never copied; wiped at the end.
class SigningKey {
 public:
  /// A new one, by chance from the system.
  [[nodiscard]] static SigningKey make();
  /// Of the 32 bytes that RFC 8032 calls the secret key (their number is checked).
  [[nodiscard]] static SigningKey of_seed(const Secret& seed);
  [[nodiscard]] Secret seed() const;
  [[nodiscard]] const PublicKey& public_key() const { return public_key_; }
  /// The same message gets the same signature always.
  [[nodiscard]] Signature sign(std::string_view message) const;

 private:
  SigningKey();
  Secret secret_; ///< seed and public key, as libsodium keeps them
  PublicKey public_key_;
};

/// Whether this very message was signed by the holder of the key. Refuses what RFC 8032 refuses, a signature
/// whose second half is not reduced among it, and keys and signatures of small order, which sign anything.
/// Guarded by tests/records/keys_test.cpp.
[[nodiscard]] bool is_signed_by(const PublicKey& key, std::string_view message, const Signature& signature);

/// In base64, 88 letters.
[[nodiscard]] std::string signature_text(const Signature& signature);
/// What signature_text wrote; nothing where it is anything else.
[[nodiscard]] std::optional<Signature> read_signature_text(std::string_view text);

} // namespace coldbag
