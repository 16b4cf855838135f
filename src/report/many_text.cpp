#include "report/many_text.h"

#include "report/layout.h"
#include "report/run_text.h"

#include <array>

namespace coldbag {

std::string many_text(const std::vector<Outcome>& outcomes, const Words& words) {
  std::string text;
  std::array<int, 3> by_status{}; // pass, fail, unproven
  int not_judged = 0;
  for (const Outcome& one : outcomes) {
    const std::string name = clean(one.name) + ": ";
    if (one.error) {
      ++not_judged;
      text += wrapped(name + words.text("many_not_judged"), 2);
      for (const Complaint& complaint : one.error->complaints())
        text += wrapped("  " + clean(to_text(complaint)), 4);
    } else {
      ++by_status.at(static_cast<std::size_t>(exit_status(*one.report)));
      text += wrapped(name + run_line(*one.report, words), 2);
    }
  }
  return text +
         words.text("many_count", {{"total", std::to_string(outcomes.size())},
                                   {"passed", std::to_string(by_status[0])},
                                   {"failed", std::to_string(by_status[1])},
                                   {"unproven", std::to_string(by_status[2])},
                                   {"not_judged", std::to_string(not_judged)}}) +
         "\n";
}

} // namespace coldbag
