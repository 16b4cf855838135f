// Options as a command describes them: their names here, what they say in the words of the catalogue.
#pragma once

#include "report/words.h"

#include <memory>
#include <string>

namespace boost::program_options {
class options_description;
} // namespace boost::program_options

namespace coldbag {

/// A group of options under one caption, "help_group_" and its key. An option is described by "help_option_"
/// and its name, blanks and "-" as "_"; by another key where commands mean different things by one name.
/// "help,h" has a short form too.
class OptionGroup {
 public:
  OptionGroup(const Words& words, const std::string& caption);
  ~OptionGroup();
  OptionGroup(const OptionGroup&) = delete;
  OptionGroup& operator=(const OptionGroup&) = delete;
  OptionGroup(OptionGroup&&) = delete;
  OptionGroup& operator=(OptionGroup&&) = delete;

  /// One text.
  OptionGroup& text(const std::string& name, const std::string& key = "");
  /// One text, with what it says.
  OptionGroup& described_text(const std::string& name, const std::string& says);
  /// A text that may be given again.
  OptionGroup& texts(const std::string& name, const std::string& key = "");
  /// A text, or nothing.
  OptionGroup& text_or_nothing(const std::string& name, const std::string& key = "");
  /// No text.
  OptionGroup& flag(const std::string& name, const std::string& key = "");

  [[nodiscard]] const boost::program_options::options_description& described() const { return *described_; }

 private:
  [[nodiscard]] std::string says(const std::string& name, const std::string& key) const;

  const Words& words_;
  std::unique_ptr<boost::program_options::options_description> described_;
};

} // namespace coldbag
