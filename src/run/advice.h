// What to do next after each verdict, and how much longer to hold.
#pragma once

#include "run/criteria.h"
#include "run/run_report.h"

#include <vector>

namespace coldbag {

/// What the advice rests on, beside the report.
struct AdviceBasis {
  const Treatment& treatment;
  const std::vector<Organism>& organisms;
  const std::vector<Measured>& probes;
  const Surroundings& around;
  bool opened = false;
  bool is_vented = false;
};

/// Minutes at the last temperature until every too-little criterion is met at its bound, or why no time would
/// do.
[[nodiscard]] MoreHold more_hold(const AdviceBasis& basis, const RunReport& report);

/// The advice for a judged report, most urgent first.
[[nodiscard]] std::vector<Said> advice(const AdviceBasis& basis, const RunReport& report);

} // namespace coldbag
