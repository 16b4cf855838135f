#include "cli/command.h"

#include "cli/check.h"
#include "cli/error_language.h"
#include "cli/lag.h"
#include "cli/language.h"
#include "cli/probe.h"
#include "cli/record.h"
#include "cli/setup.h"
#include "cli/sheet.h"
#include "cli/size.h"
#include "cli/type.h"
#include "errors/our_fault.h"
#include "errors/user_error.h"
#include "report/layout.h"

#include <fmt/format.h>

#include <cstdio>
#include <exception>
#include <string>

namespace coldbag {

namespace {

constexpr int internal_status = 70;

std::string help_text(const Words& words) {
  std::string text = wrapped(words.text("help_says_coldbag"), 0) +
                     "\n  coldbag check examples/good-sterilization/run.toml\n"
                     "  coldbag check log.csv --treatment atmospheric_steam --in-bag \"Core 1\" \\\n"
                     "    --altitude \"1150 m\" --vented\n";
  std::string when;
  for (const Command& command : commands()) {
    if (when != command.when) text += "\n" + words.text(command.when) + "\n";
    when = command.when;
    const std::string name = "  " + padded(command.name, 8);
    const std::string says = words.text(fmt::format("help_command_{}", command.name));
    text += name + wrapped(std::string(name.size(), ' ') + says, name.size()).substr(name.size());
  }
  return text + "\n" + wrapped(words.text("help_says_more"), 0);
}

void complain(const UserError& error, const ErrorWords& words) {
  for (const Complaint& complaint : error.complaints())
    std::fprintf(stderr, "coldbag: %s\n", complaint_text(complaint, &words).c_str());
}

void own_up(const std::exception& fault, const ErrorWords& words) {
  for (const std::string& line :
       {fmt::format("this is a fault of the program, not yours: {}", fault.what()),
        std::string("please keep the files and report it with the output of coldbag --version")})
    std::fprintf(stderr, "coldbag: %s\n", words.retold(line).c_str());
}

int dispatch(const std::vector<std::string>& arguments) {
  if (arguments.empty() || arguments.front() == "--help" || arguments.front() == "-h" ||
      arguments.front() == "help") {
    std::fputs(help_text(help_words(arguments)).c_str(), stdout);
    return arguments.empty() ? static_cast<int>(Trouble::usage) : 0;
  }
  if (arguments.front() == "--version") {
    std::puts("coldbag " COLDBAG_VERSION);
    return 0;
  }
  for (const Command& command : commands())
    if (arguments.front() == command.name) return command.run({arguments.begin() + 1, arguments.end()});
  std::string names;
  for (const Command& command : commands())
    names += (names.empty() ? "" : ", ") + std::string(command.name);
  throw UserError(usage("there is no command \"" + arguments.front() + "\"",
                        "commands: " + names + "; see coldbag --help"));
}

} // namespace

const std::vector<Command>& commands() {
  static const std::vector<Command> all = {
      {"size", "help_when_before", size_command},     {"lag", "help_when_before", lag_command},
      {"sheet", "help_when_before", sheet_command},   {"check", "help_when_after", check_command},
      {"type", "help_when_after", type_command},      {"probe", "help_when_always", probe_command},
      {"record", "help_when_always", record_command}, {"setup", "help_when_always", setup_command}};
  return all;
}

int run_program(const std::vector<std::string>& arguments) {
  try {
    return dispatch(arguments);
  } catch (const UserError& error) {
    complain(error, words_of_errors(arguments));
    return static_cast<int>(error.trouble());
  } catch (const std::exception& fault) {
    own_up(fault, words_of_errors(arguments));
    return internal_status;
  }
}

} // namespace coldbag
