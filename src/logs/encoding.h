// Bytes to clean UTF-8: whatever is none becomes a marked character, one byte for one byte, and is counted.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>

namespace coldbag {

/// Stands for a byte that is not text: SUBSTITUTE of ECMA-48, made for "a character found to be invalid".
inline constexpr char marked_character = '\x1a';

/// Bytes of a Unicode mark at the beginning: "\xEF\xBB\xBF".
inline constexpr std::string_view utf8_mark = "\xEF\xBB\xBF";

/// Replaces every NUL; returns how many.
std::int64_t mark_nul_bytes(char* bytes, std::size_t size);

/// Replaces every byte of one line that is no part of well-formed UTF-8 (RFC 3629); returns how many.
std::int64_t mark_invalid_utf8(char* line, std::size_t size);

/// Text as a message may show it: marked and control characters as "?", at most `most_bytes` without cutting
/// a character in two.
[[nodiscard]] std::string shown(std::string_view text, std::size_t most_bytes = 40);

} // namespace coldbag
