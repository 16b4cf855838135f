// A plan as JSON: keys in docs/formats/size-json.md.
#pragma once

#include "sizing/plan_report.h"

#include <string>

namespace coldbag {

/// One object, every figure in SI or minutes, closed by a newline.
[[nodiscard]] std::string plan_json(const PlanReport& report);

} // namespace coldbag
