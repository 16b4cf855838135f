// The entries that a check adds to the site file: who made it, when, and what it says.
#pragma once

#include "cli/probe_readings.h"
#include "report/made_check_text.h"

#include <vector>

namespace coldbag {

/// One entry, or two where the recorder was adjusted (as found, as left). Throws UserError (usage) where a
/// date is none, or as found and as left were not read at the same points.
[[nodiscard]] std::vector<ProbeCheck> checks_of(const Given& given, const Bench& bench, const Points& found,
                                                const Points& left);

/// The same for the one who made it: with what it reaches, and how far it moved since the check before.
[[nodiscard]] MadeCheck summary_of(const Bench& bench, const std::vector<ProbeCheck>& checks);

} // namespace coldbag
