// What the options of all commands have in common: one style, one way to read values, one way to complain.
#pragma once

#include "errors/user_error.h"
#include "quantity/parse.h"

#include <string>
#include <utility>
#include <vector>

namespace boost::program_options {
class options_description;
class variables_map;
} // namespace boost::program_options

namespace coldbag {

/// The arguments that are no options: what they are called, and how many there may be (-1: any number).
struct Operand {
  const char* name;
  int most;
};

/// Reads the arguments of a command by its described options; no option may be shortened. The operands stand
/// under their name as a list of texts. Throws UserError (usage) that points to the command's help.
[[nodiscard]] boost::program_options::variables_map
parse_options(const std::string& command, const boost::program_options::options_description& described,
              const Operand& operand, const std::vector<std::string>& arguments);

/// What --help prints: `usage`, then the described options.
[[nodiscard]] std::string help_text(const std::string& usage,
                                    const boost::program_options::options_description& described);

/// Writes to standard output and sees that it arrived; throws UserError (io).
void print(const std::string& text);

/// Names from an option that may be given again and may hold several, with commas between; blanks around a
/// name and empty names are dropped.
[[nodiscard]] std::vector<std::string> split_names(const std::vector<std::string>& given);

/// A quantity in SI or Celsius; throws UserError (usage) that names the option.
[[nodiscard]] double quantity_option(const std::string& option, const std::string& text, Dimension dimension);

/// The complaint that `text` is none of the words an option knows.
[[nodiscard]] UserError no_choice(const std::string& option, const std::string& text,
                                  const std::vector<std::string>& words);

/// The value of the word that an option was given; throws UserError (usage) that names all of them.
template <class Value>
[[nodiscard]] Value one_of(const std::string& option, const std::string& text,
                           const std::vector<std::pair<std::string, Value>>& choices) {
  std::vector<std::string> words;
  for (const auto& [word, value] : choices) {
    if (word == text) return value;
    words.push_back(word);
  }
  throw no_choice(option, text, words);
}

} // namespace coldbag
