// What a report says of its logs and its site, judged or not.
#pragma once

#include "report/words.h"

#include <string>

namespace coldbag {

/// Each log: rows, times, gaps, and every kind of cell that was not read.
[[nodiscard]] std::string log_lines(const RunReport& report, const Words& words);

/// Altitude and boiling point; empty where they are not known.
[[nodiscard]] std::string site_line(const RunReport& report, const Words& words);

} // namespace coldbag
