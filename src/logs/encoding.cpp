#include "logs/encoding.h"

#include "errors/user_error.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cstring>
#include <memory>
#include <optional>
#include <utility>
#include <vector>

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

void append_utf8(std::string& text, std::uint32_t code) {
  const auto put = [&](std::uint32_t byte) { text += static_cast<char>(static_cast<unsigned char>(byte)); };
  if (code < 0x80) {
    put(code);
  } else if (code < 0x800) {
    put(0xC0U | code >> 6U);
    put(0x80U | (code & 0x3FU));
  } else if (code < 0x10000) {
    put(0xE0U | code >> 12U);
    put(0x80U | (code >> 6U & 0x3FU));
    put(0x80U | (code & 0x3FU));
  } else {
    put(0xF0U | code >> 18U);
    put(0x80U | (code >> 12U & 0x3FU));
    put(0x80U | (code >> 6U & 0x3FU));
    put(0x80U | (code & 0x3FU));
  }
}

/// Bytes 0x80 to 0x9F of Windows-1252, 0 where there is no character (the mapping that the Unicode Consortium
/// publishes for it, from memory); the others are the characters of their number.
constexpr std::array<std::uint16_t, 32> windows_1252_high{
    0x20AC, 0,      0x201A, 0x0192, 0x201E, 0x2026, 0x2020, 0x2021, 0x02C6, 0x2030, 0x0160,
    0x2039, 0x0152, 0,      0x017D, 0,      0,      0x2018, 0x2019, 0x201C, 0x201D, 0x2022,
    0x2013, 0x2014, 0x02DC, 0x2122, 0x0161, 0x203A, 0x0153, 0,      0x017E, 0x0178};

bool is_in_windows_1252(unsigned byte) {
  return byte < 0x80 || byte > 0x9F || windows_1252_high[byte - 0x80] != 0;
}

void append_windows_1252(std::string& text, unsigned byte) {
  if (!is_in_windows_1252(byte))
    text += marked_character;
  else
    append_utf8(text, byte >= 0x80 && byte <= 0x9F ? windows_1252_high[byte - 0x80] : byte);
}

/// Turns bytes into UTF-8 piece by piece; what a piece leaves open waits for the next one.
class Converter {
 public:
  explicit Converter(TextEncoding encoding) : encoding_(encoding) {}

  void add(std::string_view bytes, std::string& text) {
    for (std::size_t i = 0; i < bytes.size(); ++i) {
      if (encoding_ == TextEncoding::windows_1252)
        append_windows_1252(text, byte_at(bytes.data(), i));
      else
        add_byte(byte_at(bytes.data(), i), text);
    }
  }

  /// At the end of all bytes.
  void finish(std::string& text) {
    if (half_ || high_ != 0) text += marked_character;
    half_.reset();
    high_ = 0;
  }

 private:
  void add_byte(unsigned byte, std::string& text) {
    if (!half_) {
      half_ = byte;
      return;
    }
    const std::uint32_t unit =
        encoding_ == TextEncoding::utf16_le ? *half_ | byte << 8U : *half_ << 8U | byte;
    half_.reset();
    add_unit(unit, text);
  }

  /// Surrogates in pairs are one character, alone they are none (RFC 2781, section 2.2).
  void add_unit(std::uint32_t unit, std::string& text) {
    const bool first = std::exchange(first_, false);
    if (first && unit == 0xFEFF) return;
    const bool is_low = unit >= 0xDC00 && unit <= 0xDFFF;
    if (high_ != 0 && is_low) {
      append_utf8(text, 0x10000 + ((std::exchange(high_, 0) - 0xD800) << 10U) + (unit - 0xDC00));
      return;
    }
    if (std::exchange(high_, 0) != 0) text += marked_character;
    if (unit >= 0xD800 && unit <= 0xDBFF)
      high_ = unit;
    else if (is_low)
      text += marked_character;
    else
      append_utf8(text, unit);
  }

  TextEncoding encoding_;
  std::optional<unsigned> half_;
  std::uint32_t high_ = 0;
  bool first_ = true;
};

class ConvertingReader : public ByteReader {
 public:
  ConvertingReader(std::unique_ptr<ByteReader> below, TextEncoding encoding)
      : below_(std::move(below)), converter_(encoding), bytes_(std::size_t{1} << 16U) {}

  std::size_t read(char* buffer, std::size_t size) override {
    std::size_t filled = 0;
    while (filled < size) {
      if (at_ == text_.size() && !refill()) break;
      const std::size_t count = std::min(size - filled, text_.size() - at_);
      std::memcpy(buffer + filled, text_.data() + at_, count);
      at_ += count;
      filled += count;
    }
    return filled;
  }

 private:
  bool refill() {
    text_.clear();
    at_ = 0;
    while (text_.empty() && !ended_) {
      const std::size_t got = below_->read(bytes_.data(), bytes_.size());
      ended_ = got == 0;
      if (ended_)
        converter_.finish(text_);
      else
        converter_.add({bytes_.data(), got}, text_);
    }
    return !text_.empty();
  }

  std::unique_ptr<ByteReader> below_;
  Converter converter_;
  std::vector<char> bytes_;
  std::string text_;
  std::size_t at_ = 0;
  bool ended_ = false;
};

[[noreturn]] void refuse(const std::string& source_name, std::string problem, std::string remedy) {
  throw UserError({Trouble::bad_data, Place{source_name, 0, 0, ""}, std::move(problem), std::move(remedy)});
}

/// How many bytes are zero at even and at odd places.
struct Zeros {
  std::size_t even = 0;
  std::size_t odd = 0;
};

Zeros zeros_in(std::string_view bytes) {
  Zeros zeros;
  for (std::size_t i = 0; i < bytes.size(); ++i)
    if (bytes[i] == '\0') ++(i % 2 == 0 ? zeros.even : zeros.odd);
  return zeros;
}

std::string_view without_padding(std::string_view bytes) {
  const std::size_t last = bytes.find_last_not_of(std::string_view("\0\x1a", 2));
  // The zero half of a last character is no padding.
  return bytes.substr(0, std::min(bytes.size(), last == std::string_view::npos ? 0 : (last + 2) / 2 * 2));
}

/// UTF-16 without a mark: of ASCII's characters one byte in two is zero, always on the same side.
std::optional<Choice<TextEncoding>> utf16_by_zeros(std::string_view bytes) {
  const Zeros zeros = zeros_in(bytes);
  const std::size_t pairs = bytes.size() / 2;
  const auto side = [&](std::size_t many, std::size_t few) {
    return many * 10 >= pairs * 7 && few * 50 <= pairs;
  };
  if (pairs < 4) return std::nullopt;
  if (side(zeros.odd, zeros.even))
    return Choice<TextEncoding>{TextEncoding::utf16_le, How::found,
                                fmt::format("{} of {} pairs of bytes have a zero second", zeros.odd, pairs)};
  if (side(zeros.even, zeros.odd))
    return Choice<TextEncoding>{TextEncoding::utf16_be, How::found,
                                fmt::format("{} of {} pairs of bytes have a zero first", zeros.even, pairs)};
  return std::nullopt;
}

/// UTF-8, or Windows-1252 where bytes are no UTF-8 and none are UTF-8 beyond ASCII.
Choice<TextEncoding> one_byte_or_utf8(std::string_view bytes) {
  std::string marked(bytes);
  const std::int64_t invalid = mark_invalid_utf8(marked.data(), marked.size());
  if (invalid == 0) return {TextEncoding::utf8, How::found, "the first lines are UTF-8"};
  std::size_t first = 0;
  while (marked[first] == bytes[first])
    ++first;
  const auto line = 1 + std::count(bytes.begin(), bytes.begin() + static_cast<std::ptrdiff_t>(first), '\n');
  const auto is_high = [](char c) { return static_cast<unsigned char>(c) >= 0x80; };
  const bool has_utf8 = std::any_of(marked.begin(), marked.end(), is_high);
  const bool all_known = std::all_of(
      bytes.begin(), bytes.end(), [](char c) { return is_in_windows_1252(static_cast<unsigned char>(c)); });
  if (has_utf8 || !all_known)
    return {TextEncoding::utf8, How::assumed,
            fmt::format("line {} has bytes that are no UTF-8; they show as \"?\"", line)};
  std::string character;
  append_windows_1252(character, byte_at(bytes.data(), first));
  return {TextEncoding::windows_1252, How::assumed,
          fmt::format("line {} has bytes that are no UTF-8; in Windows-1252 the first is \"{}\"", line,
                      character)};
}

/// A given encoding that the zero bytes contradict would turn a log into marks or nonsense.
void check_given(const std::string& source_name, std::string_view bytes, TextEncoding encoding) {
  const Zeros zeros = zeros_in(bytes);
  const bool is_16 = encoding == TextEncoding::utf16_le || encoding == TextEncoding::utf16_be;
  if (is_16 && zeros.even + zeros.odd == 0)
    refuse(source_name, "has no zero byte, so it is hardly UTF-16 as --encoding says",
           "leave --encoding out");
  if (!is_16 && (zeros.even + zeros.odd) * 4 > bytes.size())
    refuse(source_name,
           std::to_string(zeros.even + zeros.odd) + " of its first " + std::to_string(bytes.size()) +
               " bytes are zero, so it is not the text that --encoding says",
           "leave --encoding out, or say --encoding utf-16le");
}

} // namespace

Choice<TextEncoding> find_encoding(const std::string& source_name, std::string_view first_bytes, bool goes_on,
                                   const LogOptions& options) {
  if (options.encoding) {
    check_given(source_name, without_padding(first_bytes), *options.encoding);
    return {*options.encoding, How::given, "--encoding"};
  }
  if (first_bytes.starts_with(utf8_mark))
    return {TextEncoding::utf8, How::found, "the first bytes are the mark"};
  if (first_bytes.starts_with(std::string_view("\xFF\xFE\0\0", 4)) ||
      first_bytes.starts_with(std::string_view("\0\0\xFE\xFF", 4)))
    refuse(source_name, "is written in UTF-32", "save it as UTF-8 text");
  if (first_bytes.starts_with("\xFF\xFE"))
    return {TextEncoding::utf16_le, How::found, "the first bytes are the mark"};
  if (first_bytes.starts_with("\xFE\xFF"))
    return {TextEncoding::utf16_be, How::found, "the first bytes are the mark"};
  const std::string_view bytes = without_padding(first_bytes);
  if (const auto utf16 = utf16_by_zeros(bytes)) return *utf16;
  const Zeros zeros = zeros_in(bytes);
  if ((zeros.even + zeros.odd) * 4 > bytes.size())
    refuse(source_name,
           "is not text: " + std::to_string(zeros.even + zeros.odd) + " of its first " +
               std::to_string(bytes.size()) + " bytes are zero",
           "save it as UTF-8 text, or say --encoding");
  // The last character of the first bytes may be cut.
  return one_byte_or_utf8(goes_on ? bytes.substr(0, bytes.find_last_of("\r\n") + 1) : bytes);
}

std::string encoding_name(TextEncoding encoding, std::string_view first_bytes) {
  switch (encoding) {
  case TextEncoding::utf8:
    return first_bytes.starts_with(utf8_mark) ? "UTF-8 with mark" : "UTF-8";
  case TextEncoding::utf16_le:
    return first_bytes.starts_with("\xFF\xFE") ? "UTF-16 LE with mark" : "UTF-16 LE";
  case TextEncoding::utf16_be:
    return first_bytes.starts_with("\xFE\xFF") ? "UTF-16 BE with mark" : "UTF-16 BE";
  case TextEncoding::windows_1252:
    return "Windows-1252";
  }
  return "";
}

Source in_utf8(const Source& source, TextEncoding encoding) {
  if (encoding == TextEncoding::utf8) return source;
  return Source::readers(source.name(), [source, encoding] {
    return std::make_unique<ConvertingReader>(source.open(), encoding);
  });
}

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
