// The report where nothing was judged: no treatment chosen, or several runs in one log.
#pragma once

#include "report/block.h"
#include "report/words.h"

#include <string>

namespace coldbag {

/// What the log shows, how far each treatment would be from met, and what to type next. `log_argument` is the
/// log as it was typed.
[[nodiscard]] Blocks bare_blocks(const RunReport& report, const Words& words,
                                 const std::string& log_argument);

/// Each run of a log that holds several, with its number and its times.
[[nodiscard]] Blocks run_items(const RunReport& report, const Words& words);

/// The runs that the log holds, and how to choose one: `command` is what was typed, its log included.
[[nodiscard]] Blocks several_runs_blocks(const RunReport& report, const Words& words,
                                         const std::string& command);

} // namespace coldbag
