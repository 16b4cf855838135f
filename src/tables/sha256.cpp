#include "tables/sha256.h"

#include "errors/our_fault.h"

#include <openssl/evp.h>
#include <openssl/sha.h>
#include <sodium.h>

#include <algorithm>

namespace coldbag {

static_assert(std::tuple_size_v<Sha256> == SHA256_DIGEST_LENGTH);

namespace {

const unsigned char* plain_bytes(std::string_view bytes) {
  // NOLINTNEXTLINE(cppcoreguidelines-pro-type-reinterpret-cast): the library hashes unsigned char
  return reinterpret_cast<const unsigned char*>(bytes.data());
}

} // namespace

Sha256 sha256(std::string_view bytes) {
  Sha256 hash{};
  SHA256(plain_bytes(bytes), bytes.size(), hash.data());
  return hash;
}

std::string hex_text(const Sha256& hash) {
  std::array<char, 2 * SHA256_DIGEST_LENGTH + 1> hex{};
  sodium_bin2hex(hex.data(), hex.size(), hash.data(), hash.size());
  return hex.data();
}

std::optional<Sha256> read_hex_text(std::string_view text) {
  const auto is_digit = [](char c) { return (c >= '0' && c <= '9') || (c >= 'a' && c <= 'f'); };
  if (text.size() != std::size_t{2} * SHA256_DIGEST_LENGTH || !std::ranges::all_of(text, is_digit))
    return std::nullopt;
  Sha256 hash{};
  const int fault =
      sodium_hex2bin(hash.data(), hash.size(), text.data(), text.size(), nullptr, nullptr, nullptr);
  our_check(fault == 0, "64 hexadecimal digits are 32 bytes");
  return hash;
}

std::string sha256_hex(std::string_view bytes) {
  return hex_text(sha256(bytes));
}

std::string sha256_base64(std::string_view bytes) {
  const Sha256 hash = sha256(bytes);
  constexpr int with_padding = sodium_base64_VARIANT_ORIGINAL;
  std::array<char, sodium_base64_ENCODED_LEN(SHA256_DIGEST_LENGTH, with_padding)> text{};
  sodium_bin2base64(text.data(), text.size(), hash.data(), hash.size(), with_padding);
  return text.data();
}

struct Sha256Stream::State {
  std::unique_ptr<EVP_MD_CTX, decltype(&EVP_MD_CTX_free)> running{EVP_MD_CTX_new(), &EVP_MD_CTX_free};
};

Sha256Stream::Sha256Stream() : state_(std::make_unique<State>()) {
  our_check(EVP_DigestInit_ex(state_->running.get(), EVP_sha256(), nullptr) == 1, "libcrypto has SHA-256");
}

Sha256Stream::~Sha256Stream() = default;

void Sha256Stream::take(std::string_view bytes) {
  our_check(state_ != nullptr, "nothing is hashed after the end");
  our_check(EVP_DigestUpdate(state_->running.get(), bytes.data(), bytes.size()) == 1, "bytes can be hashed");
}

Sha256 Sha256Stream::finish() {
  our_check(state_ != nullptr, "a hash is finished once");
  Sha256 hash{};
  our_check(EVP_DigestFinal_ex(state_->running.get(), hash.data(), nullptr) == 1, "a hash comes to its end");
  state_.reset();
  return hash;
}

} // namespace coldbag
