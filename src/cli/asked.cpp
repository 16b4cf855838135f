#include "cli/asked.h"

#include "cli/files.h"
#include "cli/log_options.h"
#include "report/layout.h"

#include <fmt/format.h>

#include <optional>

namespace coldbag {

namespace {

/// The site of a request where it can be read; what is wrong with it is said when the run is opened.
std::optional<Site> site_of(const RunRequest& request) {
  if (!request.site) return std::nullopt;
  try {
    return read_site(request.site->name, request.site->bytes);
  } catch (const UserError&) {
    return std::nullopt;
  }
}

std::string settings_text(const Given& given, const Site& site, const Words& words) {
  std::string settings;
  for (const LogSetting& setting : site.log)
    if (const std::string option = option_of_setting(setting.key); !given.has(option))
      settings += fmt::format("{}--{} \"{}\"", settings.empty() ? "" : ", ", option, clean(setting.value));
  return settings.empty() ? ""
                          : wrapped(words.text("understood_site_settings",
                                               {{"file", clean(site.source_name)}, {"settings", settings}}),
                                    2);
}

} // namespace

Asked asked_for(const std::string& path, const Given& given, const RunOptions& options, const Words& words) {
  Asked asked;
  RunRequest& request = asked.request;
  request.options = options;
  if (given.has("site")) request.site = read_text_file(given.text("site"));
  if (is_toml(path)) {
    request.run_file = read_text_file(path);
    add_named_files(request, path);
  } else {
    add_learned_file(request);
    request.logs.push_back(path == "-" ? Source::standard_input() : Source::file(path));
  }
  if (const auto site = site_of(request)) {
    read_log_options(with_log_settings(given, *site), request.options.log);
    asked.log_settings = settings_text(given, *site, words);
  }
  return asked;
}

} // namespace coldbag
