#include "cli/language.h"

#include "cli/files.h"
#include "farm/run_file.h"
#include "farm/site.h"
#include "tables/languages.h"

#include <boost/program_options.hpp>

#include <algorithm>

namespace coldbag {

namespace {

namespace po = boost::program_options;

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

std::string language_of(const Given& given, const std::string& path) {
  if (!given.has("language")) return language_of_site(given, path);
  const std::string asked = given.text("language");
  if (std::ranges::find(languages, asked) == languages.end())
    throw no_choice("language", asked, {languages.begin(), languages.end()});
  return asked;
}

} // namespace

void add_language_option(po::options_description& described) {
  described.add_options()("language", po::value<std::string>(), "en or es; else as the site file says");
}

Words program_words(const TableFiles& tables, const Given& given, const std::string& path) {
  return Words::read(tables, language_of(given, path));
}

} // namespace coldbag
