// What to do next after each verdict, and how much longer to hold.
#pragma once

#include "run/criteria.h"
#include "run/run_report.h"

#include <optional>
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

/// What a check of the probes would have to show where their traces may be lowered by `room_K`: how high they
/// may read if then known to a common 0.3 K (assumed), or to what u they would have to be known.
[[nodiscard]] Said check_advice(const RunReport& report, double room_K);

/// Puts the room found by judging again in the place of the one found by steps of the bound; takes the advice
/// away where there is none.
void refine_check_advice(RunReport& report, std::optional<double> room_K);

/// Takes the advice away where the steps of the bound left no room to tell of.
void drop_idle_check_advice(RunReport& report);

/// The advice for a judged report, most urgent first.
[[nodiscard]] std::vector<Said> advice(const AdviceBasis& basis, const RunReport& report);

} // namespace coldbag
