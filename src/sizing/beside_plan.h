// What may be asked beside a plan, and is told with it.
#pragma once

#include "sizing/compare.h"
#include "sizing/fitting.h"
#include "sizing/sweep.h"

#include <optional>

namespace coldbag {

struct BesidePlan {
  std::optional<BoilerAnswer> boiler;
  std::optional<PlanComparison> run;
  std::optional<Fitting> fitting; ///< of the first kind of bag
};

} // namespace coldbag
