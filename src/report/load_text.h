// What a report says of the bags that had no probe.
#pragma once

#include "report/words.h"

#include <string>

namespace coldbag {

/// The slowest bag without a probe, or why only the probed ones were judged; "" where nobody described a
/// load.
[[nodiscard]] std::string slowest_bag_lines(const RunReport& report, const Words& words);

/// Why a requirement is not shown for the slowest bag without a probe.
[[nodiscard]] std::string why_unprobed(const RunReport& report, const Words& words,
                                       const CriterionResult& criterion);

/// Everything learned of each kind of bag.
[[nodiscard]] std::string heating_lines(const RunReport& report, const Words& words);

} // namespace coldbag
