// Keys for tests, always the same.
#pragma once

#include "records/keys.h"

#include <algorithm>
#include <array>
#include <string>

namespace coldbag::test {

[[nodiscard]] inline std::string bytes_of_hex(const std::string& hex) {
  std::string bytes;
  for (std::size_t i = 0; i < hex.size(); i += 2)
    bytes += static_cast<char>(std::stoi(hex.substr(i, 2), nullptr, 16));
  return bytes;
}

/// A public key or a signature of its hexadecimal digits.
template <class Value>
[[nodiscard]] Value of_hex(const std::string& hex) {
  Value value;
  const std::string bytes = bytes_of_hex(hex);
  std::copy_n(bytes.begin(), std::min(bytes.size(), value.bytes.size()), value.bytes.begin());
  return value;
}

[[nodiscard]] inline SigningKey key_of_hex(const std::string& hex) {
  std::string bytes = bytes_of_hex(hex);
  return SigningKey::of_seed(Secret::taken_from(bytes));
}

/// A key of a seed of 32 equal bytes.
[[nodiscard]] inline SigningKey key_of_letter(char letter) {
  std::string bytes(32, letter);
  return SigningKey::of_seed(Secret::taken_from(bytes));
}

} // namespace coldbag::test
