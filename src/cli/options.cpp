#include "cli/options.h"

#include "report/layout.h"

#include <boost/program_options.hpp>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cstdio>
#include <sstream>

namespace coldbag {

namespace po = boost::program_options;

std::string Given::text(const std::string& name) const {
  const auto found = texts_.find(name);
  return found == texts_.end() || found->second.empty() ? "" : found->second.front();
}

std::vector<std::string> Given::texts(const std::string& name) const {
  const auto found = texts_.find(name);
  return found == texts_.end() ? std::vector<std::string>{} : found->second;
}

Given parse_options(const std::string& command, const po::options_description& described,
                    const std::vector<Operand>& operands, const std::vector<std::string>& arguments) {
  using Texts = std::vector<std::string>;
  po::options_description all;
  all.add(described);
  po::positional_options_description positional;
  for (const Operand& operand : operands) {
    all.add_options()(operand.name, po::value<Texts>());
    positional.add(operand.name, operand.most);
  }
  po::variables_map map;
  try {
    namespace style = po::command_line_style;
    po::store(po::command_line_parser(arguments)
                  .options(all)
                  .positional(positional)
                  .style(style::unix_style & ~style::allow_guessing)
                  .run(),
              map);
  } catch (const po::error& error) {
    throw UserError(usage(error.what(), "see coldbag " + command + " --help"));
  }
  Given given;
  for (const auto& [name, value] : map)
    if (const auto* texts = boost::any_cast<Texts>(&value.value()))
      given.put(name, *texts);
    else if (const auto* text = boost::any_cast<std::string>(&value.value()))
      given.put(name, {*text});
    else
      given.put(name, {});
  return given;
}

std::string help_text(const Help& help, const po::options_description& described) {
  std::ostringstream out;
  for (const std::string& line : help.usage)
    out << line << "\n";
  out << "\n" << wrapped(help.says, 0);
  if (!help.examples.empty()) out << "\n" << help.examples;
  out << "\n" << described;
  return out.str();
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
      std::string name = trimmed_text(one.substr(at, end - at));
      if (!name.empty()) names.push_back(std::move(name));
      at = end + 1;
    }
  return names;
}

std::string trimmed_text(const std::string& text) {
  const std::size_t first = text.find_first_not_of(" \t\r");
  if (first == std::string::npos) return "";
  return text.substr(first, text.find_last_not_of(" \t\r") - first + 1);
}

void refuse_option(const std::string& option, const std::string& problem, const std::string& remedy) {
  throw UserError(usage("--" + option + ": " + problem, remedy));
}

double altitude_option(const std::string& text) {
  const std::string remedy = "write for example --altitude \"1150 m\"";
  const Parsed height = parse_quantity(text, Dimension::length);
  if (!height.value) refuse_option("altitude", height.problem, remedy);
  if (*height.value < -500 || *height.value > 9000)
    refuse_option("altitude", "outside -500 to 9,000 m", remedy);
  return *height.value;
}

double quantity_option(const std::string& option, const std::string& text, Dimension dimension) {
  const Parsed parsed = parse_quantity(text, dimension);
  if (!parsed.value) refuse_option(option, parsed.problem, parsed.remedy);
  return *parsed.value;
}

UserError no_choice(const std::string& option, const std::string& text,
                    const std::vector<std::string>& words) {
  return UserError(usage(fmt::format("--{}: \"{}\" is none of its values", option, text),
                         fmt::format("choose one of {}", fmt::join(words, ", "))));
}

} // namespace coldbag
