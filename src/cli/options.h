// The arguments of every command: one style, one way to read values, one way to complain.
#pragma once

#include "errors/user_error.h"
#include "quantity/parse.h"

#include <cstddef>
#include <map>
#include <string>
#include <utility>
#include <vector>

namespace boost::program_options {
class options_description;
} // namespace boost::program_options

namespace coldbag {

/// An argument that is no option: what it is called, and how many there may be (-1: any number).
struct Operand {
  const char* name;
  int most;
};

/// What a command was given: options and operands by name. An answer to a question counts as an option.
class Given {
 public:
  [[nodiscard]] bool has(const std::string& name) const { return texts_.contains(name); }
  /// Of different options and operands.
  [[nodiscard]] std::size_t count() const { return texts_.size(); }
  /// The text of an option; empty where it was not given or is a flag.
  [[nodiscard]] std::string text(const std::string& name) const;
  /// Every text of an option that may be given again, in their order.
  [[nodiscard]] std::vector<std::string> texts(const std::string& name) const;
  void answer(const std::string& name, std::string text) { texts_[name] = {std::move(text)}; }
  /// One that may be given again, or a flag (no text).
  void put(const std::string& name, std::vector<std::string> texts) { texts_[name] = std::move(texts); }

 private:
  std::map<std::string, std::vector<std::string>> texts_;
};

/// Reads the arguments of a command by its described options (texts, lists of texts and flags); no option may
/// be shortened. Throws UserError (usage) that points to the command's help.
[[nodiscard]] Given parse_options(const std::string& command,
                                  const boost::program_options::options_description& described,
                                  const std::vector<Operand>& operands,
                                  const std::vector<std::string>& arguments);

/// What --help prints: `usage`, then the described options.
[[nodiscard]] std::string help_text(const std::string& usage,
                                    const boost::program_options::options_description& described);

/// Writes to standard output and sees that it arrived; throws UserError (io).
void print(const std::string& text);

/// Names from an option that may be given again and may hold several, with commas between; blanks around a
/// name and empty names are dropped.
[[nodiscard]] std::vector<std::string> split_names(const std::vector<std::string>& given);

/// Without the blanks around it.
[[nodiscard]] std::string trimmed_text(const std::string& text);

/// Throws UserError (usage): "--option: problem".
[[noreturn]] void refuse_option(const std::string& option, const std::string& problem,
                                const std::string& remedy);

/// A quantity in SI or Celsius; throws UserError (usage) that names the option.
[[nodiscard]] double quantity_option(const std::string& option, const std::string& text, Dimension dimension);

/// A height above the sea; throws UserError (usage) where it is none, or outside -500 to 9,000 m.
[[nodiscard]] double altitude_option(const std::string& text);

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
