// What a report says of the bags that had no probe.
#pragma once

#include "report/block.h"
#include "report/words.h"

#include <string>
#include <vector>

namespace coldbag {

/// The slowest bag without a probe, or why only the probed ones were judged; empty where nobody described a
/// load.
[[nodiscard]] Blocks slowest_bag_blocks(const RunReport& report, const Words& words);

/// Why a requirement is not shown for the slowest bag without a probe.
[[nodiscard]] std::string why_unprobed(const RunReport& report, const Words& words,
                                       const CriterionResult& criterion);

/// A kind of bag in the load: how many, on what its figures rest, how it was described.
[[nodiscard]] Blocks kind_blocks(const RunReport& report, const BagHeating& kind, const Words& words);

/// What a log taught of a kind of bag: the multipliers, which of them are far from the tables, on what they
/// rest.
[[nodiscard]] std::vector<std::string> learned_items(const BagHeating& kind, const Words& words);

/// The pattern by which a run says it was loaded, and whether earlier runs have shown it; the run must name
/// one.
[[nodiscard]] std::string pattern_text(const RunReport& report, const Words& words);

/// Everything learned of each kind of bag, under its heading; empty where there is no kind.
[[nodiscard]] Blocks heating_blocks(const RunReport& report, const Words& words);

} // namespace coldbag
