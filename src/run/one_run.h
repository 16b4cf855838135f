// One run out of a log that holds several.
#pragma once

#include "run/run_input.h"

#include <vector>

namespace coldbag {

/// The input cut down to the run of this number (from 1) of those found: from half-way behind the run before
/// to half-way before the next, and never beyond what from_s and to_s allow already. Throws UserError where
/// there are not so many.
[[nodiscard]] RunInput cut_to_run(RunInput input, const std::vector<Stretch>& runs, int number);

/// From where the probes of a run that is judged from from_s on are checked: from half-way behind the run
/// before it of those found in the whole log, else from the log's first row.
[[nodiscard]] double checked_from_s(const std::vector<Stretch>& runs, double from_s);

} // namespace coldbag
