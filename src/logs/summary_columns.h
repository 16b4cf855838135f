// Columns that sum up a probe's readings: highest, lowest and mean of each interval.
#pragma once

#include "logs/understanding.h"

#include <vector>

namespace coldbag {

/// Of the columns found to be temperatures, leaves one for each probe: the reading itself, else the mean,
/// else the lowest. The others are left out and say so; the highest alone is never read, for it would count
/// heat that the probe had for a moment only. Columns that the user named stay, and so do those whose word
/// may be a part of their name.
void leave_out_summaries(std::vector<LogColumn>& columns);

} // namespace coldbag
