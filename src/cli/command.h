// The table of commands.
#pragma once

#include <string>
#include <vector>

namespace coldbag {

/// One command: its name, when it is needed, what it does, and the function that does it.
struct Command {
  const char* name;
  const char* when;    ///< "before", "during", "after", "always"
  const char* summary; ///< one line
  int (*run)(const std::vector<std::string>& arguments);
};

[[nodiscard]] const std::vector<Command>& commands();

/// Runs the program with its arguments (without the program's name); returns the exit status.
[[nodiscard]] int run_program(const std::vector<std::string>& arguments);

} // namespace coldbag
