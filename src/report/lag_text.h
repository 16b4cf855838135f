// A forecast of how long a core takes, as text and as a table of its curve.
#pragma once

#include "heatup/lag.h"
#include "report/words.h"

#include <string>

namespace coldbag {

/// At most 80 columns. `full` adds every figure of the JSON: the bag as reckoned, heat taken up, the effect
/// of air at each temperature, fh and j, tables used.
[[nodiscard]] std::string lag_text(const LagForecast& forecast, const Words& words, bool full);

/// The curve, a row a minute: minutes, degC. Ends with a newline; no words in it.
[[nodiscard]] std::string lag_csv(const LagForecast& forecast);

} // namespace coldbag
