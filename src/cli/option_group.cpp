#include "cli/option_group.h"

#include <boost/program_options.hpp>

#include <algorithm>
#include <vector>

namespace coldbag {

namespace po = boost::program_options;

namespace {

/// A value as help shows it behind the name of its option.
template <class Of>
po::typed_value<Of>* value_named(const Words& words) {
  return po::value<Of>()->value_name(words.text("help_value"));
}

} // namespace

OptionGroup::OptionGroup(const Words& words, const std::string& caption) : words_(words) {
  const std::string captioned_by = "help_group_" + caption;
  described_ = std::make_unique<po::options_description>(words.text(captioned_by));
}

OptionGroup::~OptionGroup() = default;

std::string OptionGroup::says(const std::string& name, const std::string& key) const {
  std::string described_by = "help_option_" + (key.empty() ? name.substr(0, name.find(',')) : key);
  std::replace(described_by.begin(), described_by.end(), '-', '_');
  return words_.text(described_by);
}

OptionGroup& OptionGroup::text(const std::string& name, const std::string& key) {
  described_->add_options()(name.c_str(), value_named<std::string>(words_), says(name, key).c_str());
  return *this;
}

OptionGroup& OptionGroup::described_text(const std::string& name, const std::string& says) {
  described_->add_options()(name.c_str(), value_named<std::string>(words_), says.c_str());
  return *this;
}

OptionGroup& OptionGroup::texts(const std::string& name, const std::string& key) {
  described_->add_options()(name.c_str(), value_named<std::vector<std::string>>(words_)->composing(),
                            says(name, key).c_str());
  return *this;
}

OptionGroup& OptionGroup::text_or_nothing(const std::string& name, const std::string& key) {
  described_->add_options()(name.c_str(), value_named<std::string>(words_)->implicit_value(""),
                            says(name, key).c_str());
  return *this;
}

OptionGroup& OptionGroup::flag(const std::string& name, const std::string& key) {
  described_->add_options()(name.c_str(), says(name, key).c_str());
  return *this;
}

} // namespace coldbag
