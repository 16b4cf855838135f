// What became of the bags of a ledger's runs, together.
#pragma once

#include "records/heat_link.h"
#include "records/run_outcome.h"
#include "records/spore_strip.h"

#include <map>
#include <span>
#include <vector>

namespace coldbag {

struct Outcomes {
  std::vector<RunOutcome> runs; ///< in order of time
  int runs_without = 0;         ///< nobody said what became of them
  int followed = 0;             ///< runs that are counted
  Share share;
  std::map<int, Share> by_day;             ///< new bad of those looked at
  SharesByName by_kind, by_place, by_rack; ///< bags are all that are counted
  OtherThanHeat other;
  std::vector<HeatLink> links;
  std::vector<StripResult> strips;
};

/// Of the runs given, out of those of the history. Nothing is verified.
[[nodiscard]] Outcomes outcomes_of(const History& history, std::span<const ChartedRun> runs,
                                   const TrendFigures& figures);

} // namespace coldbag
