#include "records/keys.h"

#include "errors/our_fault.h"
#include "records/base64.h"

#include <sodium.h>

#include <algorithm>

namespace coldbag {

static_assert(sizeof(PublicKey::bytes) == crypto_sign_PUBLICKEYBYTES);
static_assert(sizeof(Signature::bytes) == crypto_sign_BYTES);

namespace {

const unsigned char* plain_bytes(std::string_view bytes) {
  // NOLINTNEXTLINE(cppcoreguidelines-pro-type-reinterpret-cast): the library signs unsigned char
  return reinterpret_cast<const unsigned char*>(bytes.data());
}

} // namespace

SigningKey::SigningKey() : secret_(crypto_sign_SECRETKEYBYTES) {}

SigningKey SigningKey::make() {
  SigningKey key;
  crypto_sign_keypair(key.public_key_.bytes.data(), key.secret_.bytes().data());
  return key;
}

SigningKey SigningKey::of_seed(const Secret& seed) {
  our_check(seed.bytes().size() == crypto_sign_SEEDBYTES, "the seed of a key has 32 bytes");
  SigningKey key;
  crypto_sign_seed_keypair(key.public_key_.bytes.data(), key.secret_.bytes().data(), seed.bytes().data());
  return key;
}

Secret SigningKey::seed() const {
  Secret seed(crypto_sign_SEEDBYTES);
  crypto_sign_ed25519_sk_to_seed(seed.bytes().data(), secret_.bytes().data());
  return seed;
}

Signature SigningKey::sign(std::string_view message) const {
  Signature signature;
  crypto_sign_detached(signature.bytes.data(), nullptr, plain_bytes(message), message.size(),
                       secret_.bytes().data());
  return signature;
}

bool is_signed_by(const PublicKey& key, std::string_view message, const Signature& signature) {
  return crypto_sign_verify_detached(signature.bytes.data(), plain_bytes(message), message.size(),
                                     key.bytes.data()) == 0;
}

std::string signature_text(const Signature& signature) {
  return base64_text(signature.bytes);
}

std::optional<Signature> read_signature_text(std::string_view text) {
  const auto bytes = read_base64(text);
  Signature signature;
  if (!bytes || bytes->size() != signature.bytes.size()) return std::nullopt;
  std::ranges::copy(*bytes, signature.bytes.begin());
  return signature;
}

} // namespace coldbag
