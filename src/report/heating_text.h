// What a log showed of how its bags heat, for people.
#pragma once

#include "report/words.h"

#include <string>

namespace coldbag {

/// Each kind of bag: a row for each probe with its lag as seen, by the fit, and by mass and moisture; what
/// would explain a bag out of the way; what the log decided; the slowest bag without a probe. `full` adds
/// every figure behind it. A log that holds several runs is told as such; `log_argument` is how it was named.
[[nodiscard]] std::string heating_text(const RunReport& report, const Words& words, bool full,
                                       const std::string& log_argument);

/// Why a probed bag is out of the way, and what each alone would explain it; "" where it is not.
[[nodiscard]] std::string remark_text(const RunReport& report, const Words& words, const ProbeHeating& probe);

} // namespace coldbag
