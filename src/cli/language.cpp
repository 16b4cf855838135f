#include "cli/language.h"

#include "cli/files.h"
#include "farm/run_file.h"
#include "farm/site.h"
#include "tables/languages.h"

#include <algorithm>
#include <string_view>

namespace coldbag {

namespace {

std::string site_file_of(const Given& given, const std::string& path) {
  if (given.has("site")) return given.text("site");
  if (!is_toml(path)) return "";
  const NamedText file = read_text_file(path);
  const std::string written = read_run_file(file.name, file.bytes).site_file;
  return written.empty() ? "" : beside(path, written);
}

std::string language_of_site(const Given& given, const std::string& path) {
  try {
    const std::string site = site_file_of(given, path);
    if (site.empty()) return "en";
    const NamedText file = read_text_file(site);
    return read_site(file.name, file.bytes).language;
  } catch (const UserError&) {
    return "en";
  }
}

std::string known_language(const std::string& asked) {
  if (std::ranges::find(languages, asked) == languages.end())
    throw no_choice("language", asked, {languages.begin(), languages.end()});
  return asked;
}

std::string language_of(const Given& given, const std::string& path) {
  return given.has("language") ? known_language(given.text("language")) : language_of_site(given, path);
}

} // namespace

Words help_words(const std::vector<std::string>& arguments) {
  constexpr std::string_view option = "--language";
  std::string language = "en";
  for (std::size_t i = 0; i < arguments.size(); ++i)
    if (arguments[i].starts_with("--language="))
      language = arguments[i].substr(option.size() + 1);
    else if (arguments[i] == option && i + 1 < arguments.size())
      language = arguments[i + 1];
  return Words::read(TableFiles::built_in(), known_language(language));
}

Words program_words(const TableFiles& tables, const Given& given, const std::string& path) {
  return Words::read(tables, language_of(given, path));
}

} // namespace coldbag
