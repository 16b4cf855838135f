#include "records/canonical_members_json.h"

#include "errors/our_fault.h"
#include "records/canonical_json.h"

#include <nlohmann/json.hpp>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <cstdint>
#include <optional>
#include <utility>

namespace coldbag {

namespace {

/// By the UTF-16 code units of two texts in UTF-8. The order of the bytes is that of the characters, but
/// those beyond U+FFFF (first byte from F0 on) are surrogates in UTF-16, below U+E000 (first byte EE) and
/// what follows.
bool is_before(std::string_view a, std::string_view b) {
  const auto [at_a, at_b] = std::ranges::mismatch(a, b);
  if (at_a == a.end() || at_b == b.end()) return at_a == a.end() && at_b != b.end();
  const auto byte_a = static_cast<unsigned char>(*at_a), byte_b = static_cast<unsigned char>(*at_b);
  constexpr unsigned char last_units = 0xEE, beyond_units = 0xF0;
  if (byte_a >= last_units && byte_b >= last_units && (byte_a >= beyond_units) != (byte_b >= beyond_units))
    return byte_a >= beyond_units;
  return byte_a < byte_b;
}

/// The control character of a short escape, by the letter behind the backslash.
std::optional<char> short_escape(char letter) {
  switch (letter) {
  case '"':
  case '\\':
    return letter;
  case 'b':
    return '\b';
  case 't':
    return '\t';
  case 'n':
    return '\n';
  case 'f':
    return '\f';
  case 'r':
    return '\r';
  default:
    return std::nullopt;
  }
}

std::optional<unsigned> small_digit(char c) {
  if (c >= '0' && c <= '9') return static_cast<unsigned>(c - '0');
  if (c >= 'a' && c <= 'f') return static_cast<unsigned>(c - 'a') + 10;
  return std::nullopt;
}

/// Goes through a text once. Each function moves on behind what it read; false where it is not canonical.
class Reader {
 public:
  explicit Reader(std::string_view json) : json_(json) {}

  [[nodiscard]] bool is_at_end() const { return at_ == json_.size(); }

  bool value(int level) {
    if (is_at_end()) return false;
    switch (json_[at_]) {
    case '{':
      return object(level, nullptr);
    case '[':
      return list(level);
    case '"':
      return text(nullptr);
    case 't':
      return word("true");
    case 'f':
      return word("false");
    case 'n':
      return word("null");
    default:
      return number();
    }
  }

  /// members: gathered where it is given.
  bool object(int level, std::vector<CanonicalMember>* members) {
    if (level >= most_json_levels || !letter('{')) return false;
    if (letter('}')) return true;
    std::string before;
    for (bool is_first = true;; is_first = false) {
      std::string key;
      if (!text(&key) || !letter(':') || (!is_first && !is_before(before, key))) return false;
      const std::size_t from = at_;
      if (!value(level + 1)) return false;
      if (members != nullptr) members->push_back({key, json_.substr(from, at_ - from)});
      before = std::move(key);
      if (letter('}')) return true;
      if (!letter(',')) return false;
    }
  }

 private:
  bool letter(char c) {
    if (is_at_end() || json_[at_] != c) return false;
    ++at_;
    return true;
  }

  bool word(std::string_view expected) {
    if (!json_.substr(at_).starts_with(expected)) return false;
    at_ += expected.size();
    return true;
  }

  bool list(int level) {
    if (level >= most_json_levels || !letter('[')) return false;
    if (letter(']')) return true;
    do {
      if (!value(level + 1)) return false;
    } while (letter(','));
    return letter(']');
  }

  /// What canonical_number writes is JSON, so nothing else needs to be looked for.
  bool number() {
    const std::size_t end = std::min(json_.find_first_not_of("+-.0123456789e", at_), json_.size());
    const std::string_view token = json_.substr(at_, end - at_);
    if (!is_short_whole(token)) {
      double value = 0;
      const auto [stop, fault] = std::from_chars(token.data(), token.data() + token.size(), value);
      if (fault != std::errc() || stop != token.data() + token.size() || !std::isfinite(value) ||
          canonical_number(value) != token)
        return false;
    }
    at_ = end;
    return true;
  }

  /// Those of which there is no other way to write them, as most are.
  static bool is_short_whole(std::string_view token) {
    constexpr std::size_t held_by_double = 15;
    return !token.empty() && token.size() <= held_by_double && (token[0] != '0' || token.size() == 1) &&
           std::ranges::all_of(token, [](char c) { return c >= '0' && c <= '9'; });
  }

  /// out: gets the text where it is given.
  bool text(std::string* out) {
    if (!letter('"')) return false;
    while (!is_at_end()) {
      const std::size_t from = at_;
      while (!is_at_end() && is_plain(json_[at_]))
        ++at_;
      if (out != nullptr) out->append(json_, from, at_ - from);
      if (letter('"')) return true;
      if (!is_at_end() && !(json_[at_] == '\\' ? escape(out) : character(out))) return false;
    }
    return false;
  }

  static bool is_plain(char c) {
    const auto byte = static_cast<unsigned char>(c);
    return byte >= 0x20 && byte < 0x80 && c != '"' && c != '\\';
  }

  /// Only what must be escaped is, and in the shortest way.
  bool escape(std::string* out) {
    const std::string_view rest = json_.substr(at_ + 1);
    if (rest.empty()) return false;
    std::optional<char> c = short_escape(rest[0]);
    std::size_t size = 1;
    if (!c) {
      constexpr std::string_view control = "u00";
      constexpr std::size_t with_digits = 5;
      if (!rest.starts_with(control) || rest.size() < with_digits) return false;
      const auto high = small_digit(rest[3]), low = small_digit(rest[4]);
      if (!high || !low || *high > 1) return false;
      c = static_cast<char>(16 * *high + *low);
      if (std::string_view("\b\t\n\f\r").find(*c) != std::string_view::npos) return false;
      size = with_digits;
    }
    if (out != nullptr) *out += *c;
    at_ += 1 + size;
    return true;
  }

  /// One of several bytes (RFC 3629).
  bool character(std::string* out) {
    const auto byte = [&](std::size_t i) -> unsigned {
      return at_ + i < json_.size() ? static_cast<unsigned char>(json_[at_ + i]) : 0U;
    };
    const unsigned first = byte(0);
    const std::size_t size = first >= 0xC2 && first <= 0xDF   ? 2
                             : first >= 0xE0 && first <= 0xEF ? 3
                             : first >= 0xF0 && first <= 0xF4 ? 4
                                                              : 0;
    if (size == 0) return false;
    for (std::size_t i = 1; i < size; ++i)
      if ((byte(i) & 0xC0U) != 0x80U) return false;
    // Longer than needed, a surrogate, beyond U+10FFFF.
    if ((first == 0xE0 && byte(1) < 0xA0) || (first == 0xED && byte(1) > 0x9F) ||
        (first == 0xF0 && byte(1) < 0x90) || (first == 0xF4 && byte(1) > 0x8F))
      return false;
    if (out != nullptr) out->append(json_, at_, size);
    at_ += size;
    return true;
  }

  std::string_view json_;
  std::size_t at_ = 0;
};

} // namespace

bool is_canonical_json(std::string_view bytes) {
  Reader reader(bytes);
  return reader.value(0) && reader.is_at_end();
}

std::vector<CanonicalMember> read_canonical_members(std::string_view source_name, std::string_view json) {
  Reader reader(json);
  std::vector<CanonicalMember> members;
  if (reader.object(0, &members) && reader.is_at_end()) return members;
  (void)read_canonical_object(source_name, json); // it says what is wrong
  our_check(false, "what is read as canonical JSON in two ways is it in both");
  return {};
}

} // namespace coldbag
