// A forecast of how long a core takes, as JSON.
#pragma once

#include "heatup/lag.h"

#include <string>

namespace coldbag {

/// One object as docs/formats/lag-json.md has it: English keys, SI units in the names; ends with a newline.
/// Without the curve, which is a table of its own. Bytes of a name that are no UTF-8 are replaced.
[[nodiscard]] std::string lag_json(const LagForecast& forecast);

} // namespace coldbag
