#include "logs/encoding.h"

#include <algorithm>
#include <cstring>

namespace coldbag {

namespace {

unsigned byte_at(const char* bytes, std::size_t at) {
  return static_cast<unsigned char>(bytes[at]);
}

/// Length of the well-formed sequence at `at`, 0 where there is none (table 3-7 of the Unicode standard).
std::size_t sequence_length(const char* line, std::size_t at, std::size_t size) {
  const unsigned lead = byte_at(line, at);
  if (lead < 0x80) return 1;
  if (lead < 0xC2 || lead > 0xF4) return 0;
  const std::size_t length = lead < 0xE0 ? 2 : lead < 0xF0 ? 3 : 4;
  if (at + length > size) return 0;
  const unsigned second = byte_at(line, at + 1);
  const unsigned low = lead == 0xE0 ? 0xA0 : lead == 0xF0 ? 0x90 : 0x80;
  const unsigned high = lead == 0xED ? 0x9F : lead == 0xF4 ? 0x8F : 0xBF;
  if (second < low || second > high) return 0;
  for (std::size_t i = 2; i < length; ++i)
    if ((byte_at(line, at + i) & 0xC0U) != 0x80) return 0;
  return length;
}

/// First byte above 0x7F at or after `at`, eight at a step.
std::size_t skip_ascii(const char* line, std::size_t at, std::size_t size) {
  while (at + 8 <= size) {
    std::uint64_t eight = 0;
    std::memcpy(&eight, line + at, 8);
    if ((eight & 0x8080808080808080ULL) != 0) break;
    at += 8;
  }
  while (at < size && byte_at(line, at) < 0x80)
    ++at;
  return at;
}

} // namespace

std::int64_t mark_nul_bytes(char* bytes, std::size_t size) {
  std::int64_t count = 0;
  char* const end = bytes + size;
  for (char* at = bytes; at < end; ++at) {
    at = static_cast<char*>(std::memchr(at, '\0', static_cast<std::size_t>(end - at)));
    if (at == nullptr) break;
    *at = marked_character;
    ++count;
  }
  return count;
}

std::int64_t mark_invalid_utf8(char* line, std::size_t size) {
  std::int64_t count = 0;
  for (std::size_t at = skip_ascii(line, 0, size); at < size; at = skip_ascii(line, at, size)) {
    const std::size_t length = sequence_length(line, at, size);
    if (length == 0) {
      line[at] = marked_character;
      ++count;
    }
    at += std::max<std::size_t>(length, 1);
  }
  return count;
}

std::string shown(std::string_view text, std::size_t most_bytes) {
  if (text.size() > most_bytes) {
    while (most_bytes > 0 && (byte_at(text.data(), most_bytes) & 0xC0U) == 0x80)
      --most_bytes;
    text = text.substr(0, most_bytes);
  }
  std::string safe(text);
  std::replace_if(
      safe.begin(), safe.end(), [](char c) { return static_cast<unsigned char>(c) < 0x20 || c == '\x7f'; },
      '?');
  return safe;
}

} // namespace coldbag
