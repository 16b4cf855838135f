// Options that say how a log is written, from the command line and from a site file.
#include "cli/log_options.h"

#include <boost/program_options.hpp>

#include <doctest/doctest.h>

#include <string>

using namespace coldbag;

namespace {

Given given_by(const std::vector<std::string>& arguments) {
  return parse_options("check", log_options(Words::read(TableFiles::built_in(), "en")), {{"file", -1}},
                       arguments);
}

LogOptions read(const Given& given) {
  LogOptions log;
  read_log_options(given, log);
  return log;
}

Site site_with(const std::string& key, const std::string& value) {
  return read_site("farm.toml", "[site]\n[log]\n" + key + " = \"" + value + "\"\n");
}

} // namespace

TEST_CASE("each setting that a site file may hold does what the option of its name does") {
  for (const LogSettingRule& rule : log_setting_rules()) {
    const std::vector<std::string> values = rule.words.empty() ? std::vector{rule.example} : rule.words;
    for (const std::string& value : values) {
      const LogOptions by_option = read(given_by({"--" + option_of_setting(rule.key), value}));
      CHECK_MESSAGE(by_option != LogOptions{}, rule.key);
      CHECK_MESSAGE(by_option == read(with_log_settings({}, site_with(rule.key, value))), rule.key);
    }
  }
}

TEST_CASE("the example of a setting is one of its words") {
  for (const LogSettingRule& rule : log_setting_rules())
    CHECK_NOTHROW((void)site_with(rule.key, rule.example));
}

TEST_CASE("an option goes before the setting of the site file") {
  const Site site = site_with("unit", "F");
  CHECK(read(with_log_settings(given_by({}), site)).temperature_unit == ColumnUnit::degF);
  CHECK(read(with_log_settings(given_by({"--unit", "C"}), site)).temperature_unit == ColumnUnit::degC);
}

TEST_CASE("a unit of pressure that does not say gauge or absolute is sent back as it was given") {
  std::string said;
  try {
    (void)read(given_by({"--pressure-unit", "psi"}));
  } catch (const UserError& error) {
    said = error.what();
  }
  CHECK(said == "--pressure-unit: \"psi\" does not say gauge or absolute; "
                "write for example --pressure-unit \"psi gauge\"");
}
