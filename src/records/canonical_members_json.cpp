#include "records/canonical_members_json.h"

#include "errors/our_fault.h"
#include "records/canonical_json.h"

#include <nlohmann/json.hpp>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <limits>
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
    std::size_t end = at_;
    while (end < json_.size() && is_of_number(json_[end]))
      ++end;
    const std::string_view token = json_.substr(at_, end - at_);
    if (!is_short(token)) {
      double value = 0;
      const auto [stop, fault] = std::from_chars(token.data(), token.data() + token.size(), value);
      if (fault != std::errc() || stop != token.data() + token.size() || !std::isfinite(value) ||
          canonical_number(value) != token)
        return false;
    }
    at_ = end;
    return true;
  }

  static bool is_digit(char c) { return c >= '0' && c <= '9'; }
  static bool is_of_number(char c) { return is_digit(c) || c == '.' || c == '-' || c == 'e' || c == '+'; }

  /// Those with so few digits that no other double has as few that are the same (DBL_DIG), written as
  /// ECMAScript writes their size. Most are, and this is twenty times as fast; the rest is asked of
  /// canonical_number.
  static bool is_short(std::string_view token) {
    if (token.starts_with('-')) token.remove_prefix(1);
    const std::size_t point = std::min(token.find('.'), token.size());
    const std::string_view whole = token.substr(0, point);
    if (whole.empty() || token.size() > std::numeric_limits<double>::digits10) return false;
    if (!std::ranges::all_of(whole, is_digit) || whole[0] == '0') return false;
    if (point == token.size()) return true;
    const std::string_view fraction = token.substr(point + 1);
    return !fraction.empty() && std::ranges::all_of(fraction, is_digit) && fraction.back() != '0';
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

/// Where the value ends that begins at `at`, in text that is canonical.
std::size_t end_of_value(std::string_view json, std::size_t at) {
  int open = 0;
  for (bool is_text = false; at < json.size(); ++at) {
    const char c = json[at];
    if (is_text) {
      if (c == '\\')
        ++at;
      else
        is_text = c != '"';
    } else if (c == '"') {
      is_text = true;
    } else if (c == '{' || c == '[') {
      ++open;
    } else if (c == '}' || c == ']' || c == ',') {
      if (open == 0) return at;
      if (c != ',') --open;
    }
  }
  return at;
}

/// Where the colon behind the key stands that a member begins with.
std::size_t end_of_key(std::string_view member) {
  std::size_t at = 1;
  while (at < member.size() && member[at] != '"')
    at += member[at] == '\\' ? 2 : 1;
  return at + 1;
}

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

std::vector<CanonicalMember> members_of_canonical(std::string_view json) {
  our_check(json.starts_with('{') && json.ends_with('}'),
            "an object in canonical JSON is asked for its members");
  std::vector<CanonicalMember> members;
  for (std::size_t at = 1; at < json.size();) {
    const std::size_t end = end_of_value(json, at); // a key and a colon in front change nothing
    const std::string_view member = json.substr(at, end - at);
    if (const std::size_t key_end = end_of_key(member); key_end < member.size())
      members.push_back({std::string(member.substr(1, key_end - 2)), member.substr(key_end + 1)});
    at = end + 1;
  }
  return members;
}

} // namespace coldbag
