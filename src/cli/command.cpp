#include "cli/command.h"

#include "cli/check.h"
#include "cli/error_language.h"
#include "cli/lag.h"
#include "cli/probe.h"
#include "cli/setup.h"
#include "cli/sheet.h"
#include "cli/size.h"
#include "cli/type.h"
#include "errors/our_fault.h"
#include "errors/user_error.h"

#include <fmt/format.h>

#include <algorithm>
#include <cstdio>
#include <exception>
#include <string>

namespace coldbag {

namespace {

constexpr int internal_status = 70;

std::string help_text() {
  std::string text = "coldbag judges a steam run by the coldest bag that had a probe.\n\n"
                     "  coldbag check examples/good-sterilization/run.toml\n"
                     "  coldbag check log.csv --treatment atmospheric_steam --in-bag \"Core 1\" \\\n"
                     "    --altitude \"1150 m\" --vented\n";
  std::string when;
  for (const Command& command : commands()) {
    if (when != command.when) text += std::string("\n") + command.when + "\n";
    when = command.when;
    text += "  " + std::string(command.name) +
            std::string(10 - std::min<std::size_t>(9, std::string(command.name).size()), ' ') +
            command.summary + "\n";
  }
  return text + "\ncoldbag COMMAND --help shows the options of a command; --version the version.\n"
                "Exit status: 0 pass, 1 fail, 2 unproven; 64 and up: something to mend.\n";
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
    std::fputs(help_text().c_str(), stdout);
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
      {"size", "before a run", "how many bags, how long, how much steam? does the boiler keep up?",
       size_command},
      {"lag", "before a run", "how long does the core of such a bag take?", lag_command},
      {"sheet", "before a run", "a blank sheet on paper, for a run without a logger", sheet_command},
      {"check", "after a run", "did every probed bag get enough? how sure? what now?", check_command},
      {"type", "after a run", "type a paper sheet off into a log", type_command},
      {"probe", "always", "check a probe in ice and at the boil", probe_command},
      {"setup", "always", "write a site file: vessel, bags, probes", setup_command}};
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
