#include "farm/toml_text.h"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>

namespace coldbag {

std::string toml_text(std::string_view text) {
  std::string out = "\"";
  for (const char c : text) {
    const auto byte = static_cast<unsigned char>(c);
    if (c == '"' || c == '\\') out += '\\';
    if (byte < 0x20 || byte == 0x7f)
      out += fmt::format("\\u{:04X}", byte);
    else
      out += c;
  }
  return out + '"';
}

std::string toml_key(std::string_view name) {
  const auto fits = [](char c) {
    return std::isalnum(static_cast<unsigned char>(c)) != 0 || c == '_' || c == '-';
  };
  return !name.empty() && std::all_of(name.begin(), name.end(), fits) ? std::string(name) : toml_text(name);
}

} // namespace coldbag
