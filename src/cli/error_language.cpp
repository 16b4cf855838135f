#include "cli/error_language.h"

#include "cli/files.h"

#include <algorithm>
#include <exception>
#include <iterator>
#include <string_view>

namespace coldbag {

namespace {

/// What an option was given, as "--name text" or "--name=text"; "" for nothing.
std::string text_of_option(const std::vector<std::string>& arguments, const std::string& name) {
  for (std::size_t i = 0; i < arguments.size(); ++i) {
    if (arguments[i].starts_with(name + "=")) return arguments[i].substr(name.size() + 1);
    if (arguments[i] == name && i + 1 < arguments.size()) return arguments[i + 1];
  }
  return "";
}

/// The text in quotes of the first line `key = "text"`, in a file that may be wrong everywhere else.
std::string text_of_key(std::string_view toml, std::string_view key) {
  while (!toml.empty()) {
    std::string_view line = toml.substr(0, toml.find('\n'));
    toml.remove_prefix(std::min(line.size() + 1, toml.size()));
    line.remove_prefix(std::min(line.find_first_not_of(" \t"), line.size()));
    if (!line.starts_with(key)) continue;
    line.remove_prefix(key.size());
    const std::size_t quote = std::min(line.find_first_not_of(" \t="), line.size());
    if (quote > 0 && line.substr(quote).starts_with('"'))
      return std::string(line.substr(quote + 1, line.find('"', quote + 1) - quote - 1));
  }
  return "";
}

std::string language_of_file(const std::string& path) {
  const std::string toml = read_text_file(path).bytes;
  const std::string language = text_of_key(toml, "language");
  if (!language.empty()) return language;
  const std::string site = text_of_key(toml, "site");
  return site.empty() ? "" : text_of_key(read_text_file(beside(path, site)).bytes, "language");
}

} // namespace

std::string language_of_errors(const std::vector<std::string>& arguments) {
  if (std::string said = text_of_option(arguments, "--language"); !said.empty()) return said;
  std::vector<std::string> files{text_of_option(arguments, "--site")};
  std::ranges::copy_if(arguments, std::back_inserter(files), is_toml);
  for (const std::string& file : files)
    try {
      if (std::string said = language_of_file(file); !said.empty()) return said;
    } catch (const UserError&) { // whoever needs the file complains of it
    }
  return "en";
}

ErrorWords words_of_errors(const std::vector<std::string>& arguments) {
  try {
    const std::string language = language_of_errors(arguments);
    return language == "en" ? ErrorWords() : ErrorWords::read(TableFiles::open(""), language);
  } catch (const std::exception&) {
    return {};
  }
}

} // namespace coldbag
