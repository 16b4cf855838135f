// The table of commands.
#pragma once

#include <string>
#include <vector>

namespace coldbag {

/// One command: its name, when it is needed, and the function that does it. What it does is said by the word
/// "help_command_" and its name.
struct Command {
  const char* name;
  const char* when; ///< key of words
  int (*run)(const std::vector<std::string>& arguments);
};

[[nodiscard]] const std::vector<Command>& commands();

/// Runs the program with its arguments (without the program's name); returns the exit status.
[[nodiscard]] int run_program(const std::vector<std::string>& arguments);

} // namespace coldbag
