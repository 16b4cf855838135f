// SHA-256: of tables, of logs, of what a record holds. The one place that hashes.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <string_view>

namespace coldbag {

/// The 32 bytes of a SHA-256 (FIPS 180-4; libcrypto, which uses what the processor has for it). Guarded by
/// tests/tables/sha256_test.cpp.
using Sha256 = std::array<std::uint8_t, 32>;

[[nodiscard]] Sha256 sha256(std::string_view bytes);

/// 64 lower-case hexadecimal digits.
[[nodiscard]] std::string hex_text(const Sha256& hash);

/// What hex_text wrote; nothing where it is anything else, capitals among it.
[[nodiscard]] std::optional<Sha256> read_hex_text(std::string_view text);

[[nodiscard]] std::string sha256_hex(std::string_view bytes);

/// In base64 with its padding, as a page's content security policy wants it.
[[nodiscard]] std::string sha256_base64(std::string_view bytes);

/// Hashes bytes that come in pieces.
class Sha256Stream {
 public:
  Sha256Stream();
  ~Sha256Stream();
  Sha256Stream(const Sha256Stream&) = delete;
  Sha256Stream& operator=(const Sha256Stream&) = delete;
  Sha256Stream(Sha256Stream&&) = delete;
  Sha256Stream& operator=(Sha256Stream&&) = delete;
  void take(std::string_view bytes);
  /// Of all bytes taken. Called once, and nothing is taken after it (checked).
  [[nodiscard]] Sha256 finish();

 private:
  struct State;
  std::unique_ptr<State> state_; ///< nothing once finished
};

} // namespace coldbag
