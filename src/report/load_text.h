// What a report says of the bags that had no probe.
#pragma once

#include "report/words.h"

#include <string>
#include <vector>

namespace coldbag {

/// The slowest bag without a probe, or why only the probed ones were judged; "" where nobody described a
/// load.
[[nodiscard]] std::string slowest_bag_lines(const RunReport& report, const Words& words);

/// Why a requirement is not shown for the slowest bag without a probe.
[[nodiscard]] std::string why_unprobed(const RunReport& report, const Words& words,
                                       const CriterionResult& criterion);

/// A kind of bag in the load: how many, on what its figures rest, how it was described.
[[nodiscard]] std::string kind_heading(const RunReport& report, const BagHeating& kind, const Words& words);

/// What a log taught of a kind of bag: the multipliers, which of them are far from the tables, on what they
/// rest.
[[nodiscard]] std::vector<std::string> learned_items(const BagHeating& kind, const Words& words);

/// The pattern by which a run says it was loaded, and whether earlier runs have shown it; the run must name
/// one.
[[nodiscard]] std::string pattern_text(const RunReport& report, const Words& words);

/// Everything learned of each kind of bag.
[[nodiscard]] std::string heating_lines(const RunReport& report, const Words& words);

} // namespace coldbag
