// Sweeps and supplies of `size`: many plans out of one request.
#pragma once

#include "cli/options.h"
#include "sizing/sweep.h"

#include <optional>
#include <string>
#include <vector>

namespace coldbag {

/// The points that --vary or --supply make of a request, and what stands over their labels; none where
/// neither is given. Throws UserError where a value cannot be understood, or there are over 2,000 points.
struct ManyPlans {
  std::vector<std::string> heads;
  std::vector<SweepPoint> points;
};
[[nodiscard]] std::optional<ManyPlans> many_plans(const Given& given, const PlanRequest& request);

[[nodiscard]] SweepLimits sweep_limits(const Given& given);

/// --come-up-in, s.
[[nodiscard]] std::optional<double> come_up_in_s(const Given& given);

} // namespace coldbag
