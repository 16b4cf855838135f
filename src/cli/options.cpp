#include "cli/options.h"

#include <boost/program_options.hpp>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cstdio>
#include <sstream>

namespace coldbag {

namespace po = boost::program_options;

po::variables_map parse_options(const std::string& command, const po::options_description& described,
                                const Operand& operand, const std::vector<std::string>& arguments) {
  po::options_description all;
  all.add(described).add_options()(operand.name, po::value<std::vector<std::string>>());
  po::positional_options_description positional;
  positional.add(operand.name, operand.most);
  po::variables_map given;
  try {
    namespace style = po::command_line_style;
    po::store(po::command_line_parser(arguments)
                  .options(all)
                  .positional(positional)
                  .style(style::unix_style & ~style::allow_guessing)
                  .run(),
              given);
  } catch (const po::error& error) {
    throw UserError(usage(error.what(), "see coldbag " + command + " --help"));
  }
  return given;
}

std::string help_text(const std::string& usage, const po::options_description& described) {
  std::ostringstream options;
  options << described;
  return usage + "\n" + options.str();
}

void print(const std::string& text) {
  if (std::fwrite(text.data(), 1, text.size(), stdout) != text.size() || std::fflush(stdout) != 0)
    throw UserError(Complaint{Trouble::io, Place{}, "standard output cannot be written",
                              "check the disk or the program that reads it"});
}

std::vector<std::string> split_names(const std::vector<std::string>& given) {
  std::vector<std::string> names;
  for (const std::string& one : given)
    for (std::size_t at = 0; at <= one.size();) {
      const std::size_t end = std::min(one.find(',', at), one.size());
      std::string name = one.substr(at, end - at);
      while (!name.empty() && name.front() == ' ')
        name.erase(0, 1);
      while (!name.empty() && name.back() == ' ')
        name.pop_back();
      if (!name.empty()) names.push_back(std::move(name));
      at = end + 1;
    }
  return names;
}

double quantity_option(const std::string& option, const std::string& text, Dimension dimension) {
  const Parsed parsed = parse_quantity(text, dimension);
  if (!parsed.value) throw UserError(usage(fmt::format("--{}: {}", option, parsed.problem), parsed.remedy));
  return *parsed.value;
}

UserError no_choice(const std::string& option, const std::string& text,
                    const std::vector<std::string>& words) {
  return UserError(usage(fmt::format("--{}: \"{}\" is none of its values", option, text),
                         fmt::format("choose one of {}", fmt::join(words, ", "))));
}

} // namespace coldbag
