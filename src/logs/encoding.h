// Bytes to clean UTF-8: which encoding they are in, and a marked character for whatever is no text.
#pragma once

#include "logs/source.h"
#include "logs/understanding.h"

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>

namespace coldbag {

/// Stands for a byte that is not text: SUBSTITUTE of ECMA-48, made for "a character found to be invalid".
inline constexpr char marked_character = '\x1a';

/// Bytes of a Unicode mark at the beginning: "\xEF\xBB\xBF".
inline constexpr std::string_view utf8_mark = "\xEF\xBB\xBF";

/// What the first bytes of a log show of its encoding; `goes_on` where the log has more bytes than these.
/// Throws UserError where they are no text in an encoding read here.
[[nodiscard]] Choice<TextEncoding> find_encoding(const std::string& source_name, std::string_view first_bytes,
                                                 bool goes_on, const LogOptions& options);

/// "UTF-8 with mark", "UTF-16 LE".
[[nodiscard]] std::string encoding_name(TextEncoding encoding, std::string_view first_bytes);

/// The same log in UTF-8, converted on the way in steps of 64 KiB; the source itself where it is UTF-8. What
/// has no meaning in its encoding becomes a marked character.
[[nodiscard]] Source in_utf8(const Source& source, TextEncoding encoding);

/// Replaces every NUL; returns how many.
std::int64_t mark_nul_bytes(char* bytes, std::size_t size);

/// Replaces every byte of one line that is no part of well-formed UTF-8 (RFC 3629); returns how many.
std::int64_t mark_invalid_utf8(char* line, std::size_t size);

/// Text as a message may show it: marked and control characters as "?", at most `most_bytes` without cutting
/// a character in two.
[[nodiscard]] std::string shown(std::string_view text, std::size_t most_bytes = 40);

} // namespace coldbag
