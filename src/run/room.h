// How far the probes of a run may have read high and the run still be enough: what a check would have to
// show.
#pragma once

#include "run/run_input.h"
#include "run/run_report.h"

#include <functional>
#include <optional>

namespace coldbag {

/// Judges an input from its first row to its last.
using JudgeWhole = std::function<RunReport(RunInput)>;

/// The largest K, to a hundredth below it, by which every bag's trace may be lowered (none by more than its
/// own k u) with every too-little criterion met by the lowered trace itself; found by judging again and
/// again. Nothing where not even the trace as it stands meets them all: then no check of a probe helps.
[[nodiscard]] std::optional<double> room_for_error_K(const RunInput& input, const JudgeWhole& judged);

} // namespace coldbag
