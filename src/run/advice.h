// What to do next after each verdict, and how much longer to hold.
#pragma once

#include "run/criteria.h"
#include "run/run_report.h"

#include <vector>

namespace coldbag {

/// Minutes at the last temperature until every too-little criterion is met at its bound, or why no time would
/// do.
[[nodiscard]] MoreHold more_hold(const Treatment& treatment, const std::vector<Measured>& probes,
                                 const RunReport& report, bool opened);

/// The advice for a judged report, most urgent first.
[[nodiscard]] std::vector<Said> advice(const Treatment& treatment, const std::vector<Measured>& probes,
                                       const RunReport& report, bool opened);

} // namespace coldbag
