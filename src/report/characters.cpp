#include "report/characters.h"

#include <algorithm>
#include <array>

namespace coldbag {

namespace {

// By its first byte; 0 where no character begins so.
std::size_t promised_bytes(char first) {
  const auto byte = static_cast<unsigned char>(first);
  return byte < 0x80U ? 1 : byte < 0xC2U ? 0 : byte < 0xE0U ? 2 : byte < 0xF0U ? 3 : byte < 0xF5U ? 4 : 0;
}

} // namespace

std::size_t character_bytes(std::string_view text, std::size_t at) {
  const auto is_inside = [&](std::size_t i) {
    return i < text.size() && (static_cast<unsigned char>(text[i]) & 0xC0U) == 0x80U;
  };
  const std::size_t promised = promised_bytes(text[at]);
  for (std::size_t i = 1; i < promised; ++i)
    if (!is_inside(at + i)) return 1;
  return std::max<std::size_t>(promised, 1);
}

bool is_character(std::string_view bytes) {
  return bytes.size() == promised_bytes(bytes.front());
}

bool is_control(std::string_view character) {
  const auto first = static_cast<unsigned char>(character.front());
  return first < 0x20 || first == 0x7F || (character >= "\u0080" && character <= "\u009F");
}

bool turns_or_breaks(std::string_view character) {
  constexpr std::array<std::string_view, 3> alone{"\u061C", "\u200E", "\u200F"};
  return std::ranges::find(alone, character) != alone.end() ||
         (character >= "\u2028" && character <= "\u202E") || (character >= "\u2066" && character <= "\u2069");
}

} // namespace coldbag
