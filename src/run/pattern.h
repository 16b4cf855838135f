// The pattern of the site by which a run says it was loaded, beside what earlier runs showed of it.
#pragma once

#include "run/run_input.h"

#include <optional>

namespace coldbag {

/// None where the run names no pattern. It is proven where enough runs of the same vessel, kind, mass, count
/// and stacking showed it, the moisture lies within theirs, and the latest is not too long ago; `why_not`
/// says what is missing. Figures: pattern-runs and pattern-days of bag-heating.csv. Guarded by
/// tests/run/pattern_test.cpp.
[[nodiscard]] std::optional<PatternUse> pattern_use(const RunInput& input);

/// The same load as a run that may show the pattern; none where the load is not what the pattern says.
[[nodiscard]] std::optional<ShownPattern> pattern_as_loaded(const RunInput& input);

} // namespace coldbag
