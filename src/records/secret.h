// Bytes that nobody else may read: a secret key, a passphrase.
#pragma once

#include <cstddef>
#include <cstdint>
#include <memory>
#include <span>
#include <string>
#include <string_view>

namespace coldbag {

/// Memory of its own, kept out of the swap where the system allows it (libsodium's guarded memory), and wiped
/// at the end. It can be moved, never copied.
class Secret {
 public:
  /// All zero.
  explicit Secret(std::size_t size);
  /// Takes a text over and wipes it where it stood.
  [[nodiscard]] static Secret taken_from(std::string& text);
  [[nodiscard]] std::span<std::uint8_t> bytes() { return {memory_.get(), size_}; }
  [[nodiscard]] std::span<const std::uint8_t> bytes() const { return {memory_.get(), size_}; }
  [[nodiscard]] std::string_view text() const;

 private:
  struct Wipe {
    void operator()(std::uint8_t* memory) const noexcept;
  };
  std::unique_ptr<std::uint8_t, Wipe> memory_;
  std::size_t size_;
};

} // namespace coldbag
