#include "farm/site_log.h"

#include <algorithm>

namespace coldbag {

namespace {

std::vector<std::string> pressure_units() {
  std::vector<std::string> words;
  for (const char* unit : {"kPa", "hPa", "MPa", "mbar", "Pa", "bar", "psi"})
    for (const char* basis : {" gauge", " absolute"})
      words.push_back(std::string(unit) + basis);
  return words;
}

} // namespace

std::span<const LogSettingRule> log_setting_rules() {
  static const std::vector<LogSettingRule> rules = {
      {"unit", {"C", "F", "K"}, "C"},
      {"date_order", {"day-first", "month-first", "year-first"}, "day-first"},
      {"decimal", {"point", "comma"}, "comma"},
      {"delimiter", {"comma", "semicolon", "tab", "pipe", "blanks"}, "semicolon"},
      {"encoding", {"utf-8", "utf-16le", "utf-16be", "windows-1252"}, "windows-1252"},
      {"time_column", {}, "Time"},
      {"date_column", {}, "Date"},
      {"time_form", {"clock", "elapsed", "epoch-s", "epoch-ms", "serial-1900", "serial-1904"}, "elapsed"},
      {"elapsed_unit", {"s", "min", "h", "d", "ms"}, "min"},
      {"pressure_column", {}, "Pressure"},
      {"pressure_unit", pressure_units(), "psi gauge"}};
  return rules;
}

std::string option_of_setting(std::string_view key) {
  std::string option(key);
  std::replace(option.begin(), option.end(), '_', '-');
  return option;
}

} // namespace coldbag
