#include "farm/toml_scan.h"

#include <algorithm>
#include <cctype>
#include <optional>
#include <string>

namespace coldbag {

namespace {

constexpr std::size_t most_bytes = std::size_t{4} << 20;
constexpr int deepest_bracket = 8;
constexpr int most_key_parts = 8;

bool is_blank(char c) {
  return c == ' ' || c == '\t' || c == '\r';
}

bool is_bare_key(char c) {
  return std::isalnum(static_cast<unsigned char>(c)) != 0 || c == '_' || c == '-';
}

std::string_view trimmed(std::string_view text) {
  while (!text.empty() && is_blank(text.front()))
    text.remove_prefix(1);
  while (!text.empty() && is_blank(text.back()))
    text.remove_suffix(1);
  return text;
}

/// Walks over a TOML text, strings and comments told apart from the rest.
class Scanner {
 public:
  explicit Scanner(std::string_view toml) : toml_(toml) {}

  [[nodiscard]] bool done() const { return at_ >= toml_.size(); }
  [[nodiscard]] char here() const { return toml_[at_]; }
  [[nodiscard]] std::size_t at() const { return at_; }
  [[nodiscard]] int line() const { return line_; }
  [[nodiscard]] int column() const { return static_cast<int>(at_ - line_start_) + 1; }

  void step() {
    if (here() == '\n') {
      ++line_;
      line_start_ = at_ + 1;
    }
    ++at_;
  }
  void skip_comment() {
    while (!done() && here() != '\n')
      step();
  }
  /// Stands on a quote; goes past the end of the string. A one-line string ends with its line at the latest.
  void skip_string() {
    const char quote = here();
    const bool many_lines = toml_.substr(at_, 3) == std::string(3, quote);
    for (int i = many_lines ? 3 : 1; i > 0; --i)
      step();
    while (!done()) {
      if (!many_lines && here() == '\n') return;
      if (quote == '"' && here() == '\\') {
        step();
        if (!done()) step();
        continue;
      }
      if (ends_here(quote, many_lines)) return;
      step();
    }
  }

 private:
  bool ends_here(char quote, bool many_lines) {
    if (here() != quote) return false;
    if (!many_lines) {
      step();
      return true;
    }
    if (toml_.substr(at_, 3) != std::string(3, quote)) return false;
    while (!done() && here() == quote)
      step();
    return true;
  }

  std::string_view toml_;
  std::size_t at_ = 0;
  std::size_t line_start_ = 0;
  int line_ = 1;
};

Complaint excess(std::string_view source_name, const Scanner& at, std::string problem, std::string remedy) {
  return {Trouble::bad_data,
          {std::string(source_name), at.line(), at.column(), ""},
          std::move(problem),
          std::move(remedy)};
}

std::string_view value_without_comment(std::string_view value) {
  return trimmed(value.substr(0, value.find('#')));
}

bool starts_like_number(std::string_view value) {
  if (!value.empty() && (value.front() == '-' || value.front() == '+')) value.remove_prefix(1);
  return !value.empty() &&
         (std::isdigit(static_cast<unsigned char>(value.front())) != 0 || value.front() == '.');
}

bool is_toml_number_or_time(std::string_view value) {
  const auto fits = [](char c) {
    return std::isdigit(static_cast<unsigned char>(c)) != 0 ||
           std::string_view("+-._:eETtZzxobABCDFabcdf ").find(c) != std::string_view::npos;
  };
  const bool has_blank = value.find(' ') != std::string_view::npos;
  const bool is_time = value.size() > 10 && value[4] == '-' && value[10] == ' ';
  return std::all_of(value.begin(), value.end(), fits) && (!has_blank || is_time) &&
         !(value.size() > 1 && std::isalpha(static_cast<unsigned char>(value.back())) != 0 &&
           std::string_view("Zz").find(value.back()) == std::string_view::npos && value.substr(0, 2) != "0x");
}

/// What is wrong with one value that stands without quotes; nothing where it may stand so.
std::optional<std::string> slip_of(std::string_view value) {
  if (value.empty() || std::string_view("\"'[{").find(value.front()) != std::string_view::npos) return {};
  if (value == "true" || value == "false" || value == "inf" || value == "nan") return {};
  const std::string shown(value.substr(0, 40));
  if (value == "?") return "? stands without quotes";
  if (starts_like_number(value)) {
    if (is_toml_number_or_time(value)) return {};
    return shown + " stands without quotes";
  }
  return shown + " is text without quotes";
}

std::optional<Complaint> slip_in_line(std::string_view source_name, std::string_view line, int number) {
  const std::size_t equals = line.find('=');
  if (equals == std::string_view::npos) return {};
  const std::string_view key = trimmed(line.substr(0, equals));
  const auto fits = [](char c) { return is_bare_key(c) || c == '.' || c == '"'; };
  if (key.empty() || !std::all_of(key.begin(), key.end(), fits)) return {};
  const std::string_view value = value_without_comment(line.substr(equals + 1));
  const std::optional<std::string> problem = slip_of(value);
  if (!problem) return {};
  const int column = static_cast<int>(value.data() - line.data()) + 1;
  std::string bare(value);
  bare.erase(std::remove(bare.begin(), bare.end(), '"'), bare.end());
  return Complaint{Trouble::bad_data,
                   {std::string(source_name), number, column, std::string(key.substr(0, 60))},
                   *problem,
                   "write " + std::string(key.substr(0, 60)) + " = \"" + bare.substr(0, 60) + "\""};
}

} // namespace

std::vector<Complaint> toml_excess(std::string_view source_name, std::string_view toml) {
  if (toml.size() > most_bytes)
    return {{Trouble::bad_data,
             {std::string(source_name), 0, 0, ""},
             "the file is larger than 4 MiB",
             "name the site or run file, not a log"}};
  int depth = 0;
  int parts = 1;
  Scanner at(toml);
  while (!at.done()) {
    const char c = at.here();
    if (c == '#') {
      at.skip_comment();
      continue;
    }
    if (c == '"' || c == '\'') {
      at.skip_string();
      continue;
    }
    if (c == '[' || c == '{') ++depth;
    if (c == ']' || c == '}') depth = std::max(0, depth - 1);
    if (c == '.') ++parts;
    if (c != '.' && !is_bare_key(c) && !is_blank(c)) parts = 1;
    if (depth > deepest_bracket)
      return {excess(source_name, at, "brackets stand more than 8 deep",
                     "see docs/formats/site-file.md and run-file.md for the form")};
    if (parts > most_key_parts)
      return {excess(source_name, at, "a key has more than 8 parts",
                     "a heading has two at most, for example [vessels.north]")};
    at.step();
  }
  return {};
}

std::vector<Complaint> toml_slips(std::string_view source_name, std::string_view toml) {
  std::vector<Complaint> slips;
  Scanner at(toml);
  while (!at.done()) {
    const std::size_t start = at.at();
    const int number = at.line();
    while (!at.done() && at.here() != '\n') {
      if (at.here() == '#')
        at.skip_comment();
      else if (at.here() == '"' || at.here() == '\'')
        at.skip_string();
      else
        at.step();
    }
    std::string_view line = toml.substr(start, at.at() - start);
    line = line.substr(0, line.find('\n'));
    if (const auto slip = slip_in_line(source_name, line, number)) slips.push_back(*slip);
    if (!at.done()) at.step();
  }
  return slips;
}

} // namespace coldbag
