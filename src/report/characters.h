// Characters of UTF-8, and which of them no name may bring into a report.
#pragma once

#include <cstddef>
#include <string_view>

namespace coldbag {

/// Bytes of the character that begins at `at`; 1 for a byte that begins none.
[[nodiscard]] std::size_t character_bytes(std::string_view text, std::size_t at);

/// Whether such bytes are a character at all.
[[nodiscard]] bool is_character(std::string_view bytes);

/// C0, DEL and C1: a terminal may obey them.
[[nodiscard]] bool is_control(std::string_view character);

/// Turns the direction of what stands behind it, or breaks its line: a name must not rearrange the sentence
/// that holds it.
[[nodiscard]] bool turns_or_breaks(std::string_view character);

} // namespace coldbag
