#include "records/canonical_json.h"

#include "errors/our_fault.h"
#include "errors/user_error.h"

#include <fmt/format.h>

#include <nlohmann/json.hpp>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <optional>
#include <utility>
#include <vector>

namespace coldbag {

namespace {

using Json = nlohmann::json;

// --- UTF-8 and UTF-16 ---

/// Bytes that follow the first one of a character; nothing where it begins none.
std::optional<std::size_t> bytes_behind(unsigned char first) {
  if (first < 0x80) return 0;
  if (first >= 0xC2 && first <= 0xDF) return 1;
  if (first >= 0xE0 && first <= 0xEF) return 2;
  if (first >= 0xF0 && first <= 0xF4) return 3;
  return std::nullopt;
}

/// Nothing where it is no UTF-8 (RFC 3629): a form longer than needed, a surrogate, beyond U+10FFFF.
std::optional<std::u16string> utf16_of(std::string_view text) {
  constexpr std::array<char32_t, 4> least = {0, 0x80, 0x800, 0x10000};
  std::u16string units;
  for (std::size_t at = 0; at < text.size();) {
    const auto first = static_cast<unsigned char>(text[at++]);
    const auto behind = bytes_behind(first);
    if (!behind || text.size() - at < *behind) return std::nullopt;
    char32_t code = *behind == 0 ? first : first & (0x3FU >> *behind);
    for (std::size_t i = 0; i < *behind; ++i) {
      const auto next = static_cast<unsigned char>(text[at++]);
      if ((next & 0xC0U) != 0x80U) return std::nullopt;
      code = (code << 6U) | (next & 0x3FU);
    }
    if (code < least[*behind] || code > 0x10FFFF || (code >= 0xD800 && code <= 0xDFFF)) return std::nullopt;
    if (code < 0x10000) {
      units += static_cast<char16_t>(code);
    } else {
      units += static_cast<char16_t>(0xD800U + ((code - 0x10000U) >> 10U));
      units += static_cast<char16_t>(0xDC00U + ((code - 0x10000U) & 0x3FFU));
    }
  }
  return units;
}

// --- Writing ---

/// The decimal digits of a whole number.
std::string whole_text(const Json& value) {
  return value.is_number_unsigned() ? fmt::format("{}", value.get<std::uint64_t>())
                                    : fmt::format("{}", value.get<std::int64_t>());
}

bool is_held_by_double(const Json& whole) {
  return canonical_number(whole.get<double>()) == whole_text(whole);
}

std::string path_inside(const std::string& path, const std::string& key) {
  return path.empty() ? key : path + "." + key;
}

[[noreturn]] void refuse_text(const std::string& path) {
  throw UserError(
      {Trouble::bad_data, {"", 0, 0, path}, "this text has bytes that are no UTF-8", "write it in UTF-8"});
}

class Writer {
 public:
  void write(const Json& value, const std::string& path, int level) {
    our_check(level < most_json_levels || !value.is_structured(),
              "what is written canonically is not nested too deep");
    switch (value.type()) {
    case Json::value_t::null:
      out_ += "null";
      return;
    case Json::value_t::boolean:
      out_ += value.get<bool>() ? "true" : "false";
      return;
    case Json::value_t::number_integer:
    case Json::value_t::number_unsigned:
      write_whole(value);
      return;
    case Json::value_t::number_float:
      out_ += canonical_number(value.get<double>());
      return;
    case Json::value_t::string:
      write_text(value.get_ref<const std::string&>(), path);
      return;
    case Json::value_t::array:
      write_list(value, path, level);
      return;
    case Json::value_t::object:
      write_object(value, path, level);
      return;
    case Json::value_t::binary:
    case Json::value_t::discarded:
      break;
    }
    our_check(false, "what is written canonically is JSON");
  }
  [[nodiscard]] std::string take() { return std::move(out_); }

 private:
  void write_whole(const Json& value) {
    our_check(is_held_by_double(value), "a whole number of a record is one that a double holds");
    out_ += whole_text(value);
  }
  void write_list(const Json& list, const std::string& path, int level) {
    out_ += '[';
    for (std::size_t i = 0; i < list.size(); ++i) {
      if (i > 0) out_ += ',';
      write(list[i], fmt::format("{}[{}]", path, i), level + 1);
    }
    out_ += ']';
  }
  void write_object(const Json& object, const std::string& path, int level) {
    std::vector<std::pair<std::u16string, Json::const_iterator>> members;
    for (auto member = object.begin(); member != object.end(); ++member) {
      auto units = utf16_of(member.key());
      if (!units) refuse_text(path);
      members.emplace_back(std::move(*units), member);
    }
    std::ranges::sort(members, {}, &decltype(members)::value_type::first);
    out_ += '{';
    for (const auto& [units, member] : members) {
      if (out_.back() != '{') out_ += ',';
      write_quoted(member.key());
      out_ += ':';
      write(*member, path_inside(path, member.key()), level + 1);
    }
    out_ += '}';
  }
  void write_text(const std::string& text, const std::string& path) {
    if (!utf16_of(text)) refuse_text(path);
    write_quoted(text);
  }
  void write_quoted(std::string_view text) {
    out_ += '"';
    for (const char c : text)
      write_letter(c);
    out_ += '"';
  }
  void write_letter(char c) {
    switch (c) {
    case '"':
      out_ += "\\\"";
      return;
    case '\\':
      out_ += "\\\\";
      return;
    case '\b':
      out_ += "\\b";
      return;
    case '\t':
      out_ += "\\t";
      return;
    case '\n':
      out_ += "\\n";
      return;
    case '\f':
      out_ += "\\f";
      return;
    case '\r':
      out_ += "\\r";
      return;
    default:
      break;
    }
    const auto byte = static_cast<unsigned char>(c);
    if (byte < 0x20)
      out_ += fmt::format("\\u{:04x}", byte);
    else
      out_ += c;
  }

  std::string out_;
};

// --- Reading ---

/// Builds the value event by event. The library's own reader keeps the last of two equal keys and rounds what
/// is too long, and says nothing.
class Builder : public nlohmann::json_sax<Json> {
 public:
  Builder(std::string_view source_name, std::string_view json) : source_name_(source_name), json_(json) {}

  bool null() override { return put(nullptr); }
  bool boolean(bool value) override { return put(value); }
  bool number_integer(number_integer_t value) override { return put_whole(value); }
  bool number_unsigned(number_unsigned_t value) override { return put_whole(value); }
  bool number_float(number_float_t value, const string_t& text) override {
    // A whole number too long for 64 bits arrives here; one with a point or an exponent may be rounded.
    const bool is_whole = text.find_first_of(".eE") == string_t::npos;
    if (is_whole && canonical_number(value) != text) complain_digits(text);
    return put(value);
  }
  bool string(string_t& text) override { return put(std::move(text)); }
  bool binary(binary_t& /*bytes*/) override { return false; }
  bool start_object(std::size_t /*size*/) override { return open(Json::object()); }
  bool start_array(std::size_t /*size*/) override { return open(Json::array()); }
  bool key(string_t& text) override {
    open_.back().key = std::move(text);
    if (open_.back().value->contains(open_.back().key))
      complain("this key stands twice in one object", as_the_program_wrote_it);
    return true;
  }
  bool end_object() override { return close(); }
  bool end_array() override { return close(); }
  bool parse_error(std::size_t byte, const std::string& /*token*/, const Json::exception& fault) override {
    constexpr int out_of_range = 406;
    if (fault.id == out_of_range)
      complain("this JSON has a number that no computer number can hold", as_the_program_wrote_it);
    else
      complain_bytes(byte);
    return false;
  }

  /// A zero byte would be taken for the end of the text.
  void look_for_zero() {
    if (const auto at = json_.find('\0'); at != std::string_view::npos) complain_bytes(at + 1);
  }
  [[nodiscard]] Json take() {
    if (!complaints_.empty()) throw UserError(std::move(complaints_));
    return std::move(root_);
  }
  [[nodiscard]] bool is_refused() const { return !complaints_.empty(); }

 private:
  struct Open {
    Json* value = nullptr;
    std::string key; ///< of the member that is read, where it is an object
  };
  static constexpr std::size_t most_complaints = 20;

  [[nodiscard]] std::string path() const {
    std::string text;
    for (const Open& each : open_) {
      // What is open in a list already stands in it; what is only now read does not.
      const std::size_t idx = each.value->size() - (&each == &open_.back() ? 0 : 1);
      text = each.value->is_array() ? fmt::format("{}[{}]", text, idx) : path_inside(text, each.key);
    }
    return text;
  }
  void complain(std::string problem, std::string remedy) {
    if (complaints_.size() < most_complaints)
      complaints_.push_back({Trouble::bad_data,
                             {std::string(source_name_), 0, 0, path()},
                             std::move(problem),
                             std::move(remedy)});
  }
  void complain_digits(const std::string& digits) {
    complain(fmt::format("{} has more digits than a computer number holds", digits),
             "write it in quotes, as a text");
  }
  void complain_bytes(std::size_t byte) {
    Place place{std::string(source_name_), 1, 1, ""};
    for (const char c : json_.substr(0, byte > 0 ? byte - 1 : 0)) {
      place.column = c == '\n' ? 1 : place.column + 1;
      place.line += c == '\n' ? 1 : 0;
    }
    complaints_.push_back(
        {Trouble::bad_data, place, "this is no JSON, or not all of it", as_the_program_wrote_it});
  }
  template <class Whole>
  bool put_whole(Whole value) {
    if (!is_held_by_double(value)) complain_digits(fmt::format("{}", value));
    return put(value);
  }
  Json* place_of(Json value) {
    if (open_.empty()) {
      root_ = std::move(value);
      return &root_;
    }
    Json& around = *open_.back().value;
    if (around.is_array()) {
      around.push_back(std::move(value));
      return &around.back();
    }
    return &(around[open_.back().key] = std::move(value));
  }
  bool put(Json value) {
    place_of(std::move(value));
    return true;
  }
  bool open(Json value) {
    if (std::ssize(open_) >= most_json_levels) {
      complain(fmt::format("objects and lists stand in each other more than {} deep", most_json_levels),
               as_the_program_wrote_it);
      return false;
    }
    open_.push_back({place_of(std::move(value)), ""});
    return true;
  }
  bool close() {
    open_.pop_back();
    return true;
  }

  std::string_view source_name_;
  std::string_view json_;
  Json root_;
  std::vector<Open> open_;
  std::vector<Complaint> complaints_;
};

[[noreturn]] void refuse(std::string_view source_name, std::string problem) {
  throw UserError(
      {Trouble::bad_data, {std::string(source_name), 0, 0, ""}, std::move(problem), as_the_program_wrote_it});
}

} // namespace

std::string canonical_number(double value) {
  our_check(std::isfinite(value), "a number of a record is finite");
  if (value == 0) return "0";
  std::array<char, 32> buffer{};
  const auto end = std::to_chars(buffer.data(), buffer.data() + buffer.size(), std::abs(value),
                                 std::chars_format::scientific);
  our_check(end.ec == std::errc(), "a double has at most 17 digits");
  const std::string_view shortest(buffer.data(), static_cast<std::size_t>(end.ptr - buffer.data()));
  const std::size_t e = shortest.find('e');
  // One digit, and behind a point the others where there are any.
  const std::string_view others = e > 1 ? shortest.substr(2, e - 2) : "";
  int exponent = 0;
  const char* behind_e = shortest.data() + e + (shortest[e + 1] == '+' ? 2 : 1);
  std::from_chars(behind_e, end.ptr, exponent);

  // The letters of ECMA-262: the value is 0.DIGITS times ten to the n, with k digits.
  const int n = exponent + 1;
  const int k = static_cast<int>(others.size()) + 1;
  const auto count = [](int digits) { return static_cast<std::size_t>(digits); };
  std::string out;
  out.reserve(buffer.size());
  if (value < 0) out += '-';
  if (n >= k && n <= 21) return out.append(1, shortest[0]).append(others).append(count(n - k), '0');
  if (n > 0 && n < k) {
    out.append(1, shortest[0]).append(others.substr(0, count(n - 1)));
    return out.append(1, '.').append(others.substr(count(n - 1)));
  }
  if (n > -6 && n <= 0) return out.append("0.").append(count(-n), '0').append(1, shortest[0]).append(others);
  out += shortest[0];
  if (k > 1) out.append(1, '.').append(others);
  return out.append(n > 0 ? "e+" : "e-").append(std::to_string(std::abs(n - 1)));
}

std::string canonical_json(const Json& value) {
  Writer writer;
  writer.write(value, "", 0);
  return writer.take();
}

Json read_exact_json(std::string_view source_name, std::string_view json) {
  Builder builder(source_name, json);
  builder.look_for_zero();
  if (!builder.is_refused()) Json::sax_parse(json, &builder);
  return builder.take();
}

std::string made_canonical(std::string_view source_name, std::string_view json) {
  return canonical_json(read_exact_json(source_name, json));
}

Json read_canonical_object(std::string_view source_name, std::string_view json) {
  Json value = read_exact_json(source_name, json);
  if (canonical_json(value) != json) refuse(source_name, "this JSON is not in its canonical form (RFC 8785)");
  if (!value.is_object()) refuse(source_name, "what stands here is no object");
  return value;
}

} // namespace coldbag
