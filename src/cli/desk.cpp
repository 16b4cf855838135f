#include "cli/desk.h"

#include "cli/options.h"
#include "report/layout.h"

#include <unistd.h>

#include <cstdio>
#include <iostream>
#include <utility>

namespace coldbag {

Desk::Desk(ErrorWords errors) : is_person_(isatty(STDIN_FILENO) != 0), errors_(std::move(errors)) {}

std::optional<std::string> Desk::ask(const std::string& prompt) {
  if (is_person_) {
    std::printf("%s ", prompt.c_str());
    std::fflush(stdout);
  }
  std::string line;
  if (!std::getline(std::cin, line)) return {};
  ++line_;
  return trimmed_text(line);
}

void Desk::tell(const std::string& text) const {
  if (is_person_) std::fputs(text.c_str(), stdout);
}

void Desk::object(const Objection& objection) const {
  if (!is_person_) {
    Place place;
    place.source_name = "standard input";
    place.line = line_;
    throw UserError(Complaint{Trouble::bad_data, std::move(place), objection.problem, objection.remedy});
  }
  std::fputs(wrapped("  ? " + errors_.retold(objection.problem) + "; " + errors_.retold(objection.remedy), 4)
                 .c_str(),
             stdout);
}

bool ask_until_taken(Desk& desk, const std::string& question, const Take& take) {
  for (;;) {
    const auto answer = desk.ask(question);
    if (!answer || answer->empty()) return false;
    const auto objection = take(*answer);
    if (!objection) return true;
    desk.object(*objection);
  }
}

} // namespace coldbag
