// How a log was read: what --explain shows.
#pragma once

#include "logs/understanding.h"
#include "report/words.h"

#include <string>

namespace coldbag {

/// How every column, unit and time was understood, and whether it was given, found or assumed.
[[nodiscard]] std::string understanding_text(const std::string& log_name, const Understanding& understanding,
                                             const Words& words);

} // namespace coldbag
