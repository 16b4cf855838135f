#include "records/public_key.h"

#include "errors/user_error.h"
#include "records/base64.h"
#include "tables/sha256.h"

#include <algorithm>
#include <array>

namespace coldbag {

namespace {

// RFC 8410, section 4: SEQUENCE { SEQUENCE { OBJECT IDENTIFIER 1.3.101.112 } BIT STRING of 32 bytes }.
constexpr std::array<char, 12> der_head = {0x30, 0x2A, 0x30, 0x05, 0x06, 0x03,
                                           0x2B, 0x65, 0x70, 0x03, 0x21, 0x00};
constexpr std::string_view pem_begin = "-----BEGIN PUBLIC KEY-----";
constexpr std::string_view pem_end = "-----END PUBLIC KEY-----";

std::string der_of(const PublicKey& key) {
  std::string der(der_head.begin(), der_head.end());
  der.append(key.bytes.begin(), key.bytes.end());
  return der;
}

[[noreturn]] void refuse(std::string_view source_name, std::string problem) {
  throw UserError({Trouble::bad_data,
                   {std::string(source_name), 0, 0, ""},
                   std::move(problem),
                   "give the PEM file of an Ed25519 public key, as it was handed out"});
}

} // namespace

std::string public_key_text(const PublicKey& key) {
  return base64_text(der_of(key));
}

std::optional<PublicKey> read_public_key_text(std::string_view text) {
  const auto der = read_base64(text);
  const std::string_view head(der_head.data(), der_head.size());
  PublicKey key;
  if (!der || der->size() != head.size() + key.bytes.size() || !der->starts_with(head)) return std::nullopt;
  std::copy(der->begin() + der_head.size(), der->end(), key.bytes.begin());
  return key;
}

std::string public_key_pem(const PublicKey& key) {
  return std::string(pem_begin) + "\n" + public_key_text(key) + "\n" + std::string(pem_end) + "\n";
}

PublicKey read_public_key_pem(std::string_view source_name, std::string_view pem) {
  const std::size_t begin = pem.find(pem_begin);
  const std::size_t end = pem.find(pem_end, begin == std::string_view::npos ? 0 : begin);
  if (begin == std::string_view::npos || end == std::string_view::npos)
    refuse(source_name, "there is no public key in this file");
  std::string text(pem.substr(begin + pem_begin.size(), end - begin - pem_begin.size()));
  std::erase_if(text, [](char c) { return c == ' ' || c == '\t' || c == '\r' || c == '\n'; });
  const auto key = read_public_key_text(text);
  if (!key) refuse(source_name, "the public key in this file is damaged or of another kind");
  return *key;
}

std::string fingerprint(const PublicKey& key) {
  const std::string digits = sha256_hex(der_of(key));
  std::string groups;
  for (std::size_t at = 0; at < digits.size(); at += 4)
    groups += (at > 0 ? " " : "") + digits.substr(at, 4);
  return groups;
}

} // namespace coldbag
