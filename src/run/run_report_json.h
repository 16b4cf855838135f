// A run's report as JSON; the keys are documented in docs/formats/check-json.md.
#pragma once

#include "run/run_report.h"

#include <string>

namespace coldbag {

/// One object, English keys, SI units in the names; ends with a newline.
[[nodiscard]] std::string report_json(const RunReport& report);

} // namespace coldbag
