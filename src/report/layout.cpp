#include "report/layout.h"

#include "quantity/unit.h"
#include "report/characters.h"

#include <algorithm>

namespace coldbag {

namespace {

// Continuation bytes of UTF-8 take no room.
bool begins_character(char c) {
  return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U;
}

bool is_digit(char c) {
  return c >= '0' && c <= '9';
}

std::string_view word_at(std::string_view text, std::size_t from) {
  const auto ends = [](char c) { return std::string_view(" ,.;:()").find(c) != std::string_view::npos; };
  const auto* const begin = text.begin() + static_cast<std::ptrdiff_t>(from);
  return {begin, std::find_if(begin, text.end(), ends)};
}

bool is_unit(std::string_view word) {
  return word == "%" ||
         std::ranges::any_of(all_units(), [&](const Unit& unit) { return unit.symbol == word; });
}

} // namespace

std::size_t screen_length(std::string_view text) {
  return static_cast<std::size_t>(std::count_if(text.begin(), text.end(), begins_character));
}

std::string wrapped(const std::string& text, std::size_t indent) {
  std::string out;
  std::string line(std::min(text.find_first_not_of(' '), text.size()), ' ');
  bool has_word = false;
  const auto flush = [&] {
    if (!out.empty()) out += std::string(indent, ' ');
    out += line + "\n";
    line.clear();
    has_word = false;
  };
  for (std::size_t at = 0; at <= text.size();) {
    std::size_t end = std::min(text.find(' ', at), text.size());
    if (text.compare(end, 2, " %") == 0) // a number keeps its sign
      end = std::min(text.find(' ', end + 1), text.size());
    const std::string word = text.substr(at, end - at);
    const std::size_t used = (out.empty() ? 0 : indent) + screen_length(line);
    at = end + 1;
    if (word.empty()) continue;
    if (has_word && used + 1 + screen_length(word) > columns_of_screen) flush();
    line += (has_word ? " " : "") + word;
    has_word = true;
  }
  if (has_word) flush();
  return out;
}

std::string item(const std::string& text) {
  return wrapped("- " + text, 2);
}

std::string command_lines(const std::vector<std::string>& parts) {
  std::string out;
  std::string line = " ";
  for (const std::string& part : parts) {
    // Two columns are kept for the backslash.
    if (line.find_first_not_of(' ') != std::string::npos &&
        screen_length(line) + 1 + screen_length(part) > columns_of_screen - 2) {
      out += line + " \\\n";
      line = "   ";
    }
    line += " " + part;
  }
  return out + line + "\n";
}

std::string padded(const std::string& text, std::size_t width) {
  const std::size_t length = screen_length(text);
  return length >= width ? text : text + std::string(width - length, ' ');
}

std::string with_units_kept(std::string_view text) {
  std::string out;
  for (std::size_t at = 0; at < text.size(); ++at) {
    const bool is_behind_figure = text[at] == ' ' && at > 0 && is_digit(text[at - 1]);
    out += is_behind_figure && is_unit(word_at(text, at + 1)) ? "\u00A0" : text.substr(at, 1);
  }
  return out;
}

std::string clean(const std::string& text) {
  std::string out;
  for (std::size_t at = 0; at < text.size();) {
    const std::string_view character = std::string_view(text).substr(at, character_bytes(text, at));
    at += character.size();
    if (is_control(character) || !is_character(character))
      out += '?';
    else if (!turns_or_breaks(character))
      out += character;
  }
  return out;
}

std::string cut(const std::string& text, std::size_t width) {
  if (screen_length(text) <= width) return text;
  std::string out;
  std::size_t length = 0;
  for (const char c : text) {
    if (begins_character(c) && ++length >= width) break;
    out += c;
  }
  return out + "~";
}

} // namespace coldbag
