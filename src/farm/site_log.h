// How the farm's recorder writes its logs, where a log does not say it itself: the [log] table of a site
// file.
#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace coldbag {

/// One setting of [log]; each has an option of the same name on the command line ("date_order":
/// --date-order).
struct LogSettingRule {
  std::string key;
  std::vector<std::string> words; ///< that it may be; empty: any text
  std::string example;
};

/// A setting as stated.
struct LogSetting {
  std::string key;
  std::string value;
  bool operator==(const LogSetting&) const = default;
};

/// Every setting a site file may hold, in the order they are written.
[[nodiscard]] std::span<const LogSettingRule> log_setting_rules();

/// "--date-order" of "date_order", without the dashes before it.
[[nodiscard]] std::string option_of_setting(std::string_view key);

} // namespace coldbag
