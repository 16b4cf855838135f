// What many runs showed together of how a farm's bags heat, for people.
#pragma once

#include "heatup/learned.h"
#include "report/words.h"

#include <string>
#include <vector>

namespace coldbag {

/// Each kind with its multipliers, how bags differ, the patterns, where one more probe would teach most, and
/// the runs that taught nothing. `kept_in` is the file it was written to, "" for none. `shown` and `reports`
/// are of the same runs, in the same order.
[[nodiscard]] std::string learned_text(const Learned& learned, const std::vector<ShownRun>& shown,
                                       const std::vector<RunReport>& reports, const std::string& kept_in,
                                       const Words& words);

} // namespace coldbag
