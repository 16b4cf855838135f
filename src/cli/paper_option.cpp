#include "cli/paper_option.h"

#include <algorithm>
#include <utility>

namespace coldbag {

namespace {

const std::vector<std::pair<std::string, Paper>> papers{{"a4", Paper::a4}, {"letter", Paper::letter}};

} // namespace

Paper paper_option(const Given& given, UnitSystem units) {
  if (given.has("paper")) return one_of("paper", given.text("paper"), papers);
  return units == UnitSystem::us ? Paper::letter : Paper::a4;
}

void check_paper_option(const Given& given, const std::vector<std::string>& files) {
  if (!given.has("paper")) return;
  (void)one_of("paper", given.text("paper"), papers);
  if (std::ranges::none_of(files, [&](const std::string& file) { return given.has(file); }))
    refuse_option("paper", "there is no PDF to be on it", "write for example --pdf run.pdf --paper letter");
}

} // namespace coldbag
