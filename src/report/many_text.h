// Many runs at once: a line for each, and their count.
#pragma once

#include "errors/user_error.h"
#include "report/words.h"

#include <optional>
#include <string>
#include <vector>

namespace coldbag {

/// What became of one of many: its report, or what has to be mended first.
struct Outcome {
  std::string name; ///< of its file, as typed
  std::optional<RunReport> report;
  std::string text; ///< the whole report, where it was asked for
  std::optional<UserError> error;
};

[[nodiscard]] std::string many_text(const std::vector<Outcome>& outcomes, const Words& words);

} // namespace coldbag
