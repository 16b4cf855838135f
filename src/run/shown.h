// What a judged run shows of how the farm's bags heat, as learning takes it.
#pragma once

#include "heatup/learned.h"
#include "run/run_input.h"
#include "run/run_report.h"

#include <string>

namespace coldbag {

/// The kinds that were fitted in it, and its pattern where the run passed with its whole load, on the fit of
/// two probes or more. The run must have been judged without learned figures, or they would be counted twice
/// (checked).
[[nodiscard]] ShownRun shown_by(const std::string& name, const RunInput& input, const RunReport& report);

} // namespace coldbag
