// Bytes as text: base64 with its padding, RFC 4648 section 4.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>

namespace coldbag {

[[nodiscard]] std::string base64_text(std::string_view bytes);
[[nodiscard]] std::string base64_text(std::span<const std::uint8_t> bytes);

/// The bytes; nothing where the text is not exactly what base64_text writes: blanks, line ends, missing
/// padding or bits that stand for nothing. Guarded by tests/records/base64_test.cpp.
[[nodiscard]] std::optional<std::string> read_base64(std::string_view text);

} // namespace coldbag
