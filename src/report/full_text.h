// What --full adds below the one screen.
#pragma once

#include "report/words.h"

#include <string>

namespace coldbag {

/// Every criterion with its bound and evidence; each probe's bands, holds and log reductions; how it was
/// computed, and from which bytes.
[[nodiscard]] std::string full_text(const RunReport& report, const Words& words);

} // namespace coldbag
