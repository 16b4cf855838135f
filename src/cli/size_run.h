// A plan of the vessel and load of a run that is logged, to be held against it.
#pragma once

#include "cli/options.h"
#include "report/words.h"
#include "sizing/compare.h"
#include "sizing/plan_request.h"

namespace coldbag {

struct PlanOfRun {
  PlanRequest request; ///< vessel, load and hold of the run; the options go before them
  SeenRun seen;
};

/// Reads and judges the run that --run names. Throws UserError where it cannot be read, describes no load, or
/// has no steam probe.
[[nodiscard]] PlanOfRun plan_of_run(const Given& given, const TableFiles& tables, const Words& words);

} // namespace coldbag
