#include "cli/option_group.h"

#include <boost/program_options.hpp>

#include <algorithm>
#include <vector>

namespace coldbag {

namespace po = boost::program_options;

OptionGroup::OptionGroup(const Words& words, const std::string& caption)
    : words_(words),
      described_(std::make_unique<po::options_description>(words.text("help_group_" + caption))) {}

OptionGroup::~OptionGroup() = default;

std::string OptionGroup::says(const std::string& name, const std::string& key) const {
  std::string of = key.empty() ? name.substr(0, name.find(',')) : key;
  std::replace(of.begin(), of.end(), '-', '_');
  return words_.text("help_option_" + of);
}

OptionGroup& OptionGroup::text(const std::string& name, const std::string& key) {
  described_->add_options()(name.c_str(), po::value<std::string>(), says(name, key).c_str());
  return *this;
}

OptionGroup& OptionGroup::texts(const std::string& name, const std::string& key) {
  described_->add_options()(name.c_str(), po::value<std::vector<std::string>>()->composing(),
                            says(name, key).c_str());
  return *this;
}

OptionGroup& OptionGroup::text_or_nothing(const std::string& name, const std::string& key) {
  described_->add_options()(name.c_str(), po::value<std::string>()->implicit_value(""),
                            says(name, key).c_str());
  return *this;
}

OptionGroup& OptionGroup::flag(const std::string& name, const std::string& key) {
  described_->add_options()(name.c_str(), says(name, key).c_str());
  return *this;
}

} // namespace coldbag
