// What to warn of: dangers that the probes and gauges show, and what the files say. On the best estimate:
// uncertainty never delays a warning.
#pragma once

#include "run/criteria.h"
#include "run/dangers.h"
#include "run/run_report.h"

#include <vector>

namespace coldbag {

/// Every caution of a run, film first, then dangers, then the rest. The report is filled in but for its
/// cautions; where several runs stand in a log, or no treatment was chosen, those that hang on a treatment
/// are left out. Rules: docs/mathematics/cautions.md.
[[nodiscard]] std::vector<Caution> cautions_of(const RunInput& input, const Dangers& dangers,
                                               const std::vector<Measured>& probes, const RunReport& report);

/// Part of boiling water that turns to steam where its pressure is let down at once, by enthalpies of boiling
/// water: (h(from) - h(to)) / heat of evaporation(to). Both degC, 0.01 to 350; 0 where `from` is not the
/// hotter. IAPWS R7-97(2012). Guarded by tests/published/safety_test.cpp.
[[nodiscard]] double flash_fraction(double from_degC, double to_degC);

} // namespace coldbag
