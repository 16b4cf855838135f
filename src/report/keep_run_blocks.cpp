#include "report/keep_run_blocks.h"

#include "report/layout.h"

namespace coldbag {

namespace {

/// As a shell takes it for one word.
std::string quoted(const std::string& text) {
  const bool is_plain =
      !text.empty() && text.find_first_not_of("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ"
                                              "0123456789_./:+,-") == std::string::npos;
  if (is_plain) return text;
  std::string out = "'";
  for (const char c : text)
    out += c == '\'' ? std::string("'\\''") : std::string(1, c);
  return out + "'";
}

} // namespace

Blocks keep_run_blocks(const std::vector<std::string>& paths,
                       const std::map<std::string, std::vector<std::string>>& options, const Words& words) {
  Command command{{"coldbag record add"}};
  for (const std::string& path : paths)
    command.parts.push_back(quoted(clean(path)));
  for (const auto& [name, texts] : options) {
    if (texts.empty()) command.parts.push_back("--" + name);
    for (const std::string& text : texts)
      command.parts.push_back("--" + name + " " + quoted(clean(text)));
  }
  for (const char* part : {"--ledger farm.ledger", "--key farm.key", "--by NAME"})
    command.parts.emplace_back(part);
  return {Space{}, Paragraph{words.text("check_keep")}, command};
}

} // namespace coldbag
