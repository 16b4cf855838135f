#include "run/room.h"

#include <algorithm>

namespace coldbag {

namespace {

constexpr double fine_enough_K = 0.01;

bool is_enough(const RunReport& report) {
  return std::none_of(report.criteria.begin(), report.criteria.end(), [](const CriterionResult& c) {
    return c.fails && !c.too_much && !c.required_to && c.status != Status::met;
  });
}

RunInput lowered(RunInput input, double K) {
  for (RunProbe& probe : input.probes) {
    if (probe.is_pressure || probe.role != ProbeRole::bag) continue;
    probe.correction.offset_K -= std::min(K, coverage_k * probe.u_K);
    probe.u_K = 0;
  }
  return input;
}

} // namespace

std::optional<double> room_for_error_K(const RunInput& input, const JudgeWhole& judged) {
  const auto holds = [&](double K) { return is_enough(judged(lowered(input, K))); };
  if (!holds(0)) return {};
  double high_K = 0;
  for (const RunProbe& probe : input.probes)
    if (!probe.is_pressure && probe.role == ProbeRole::bag) high_K = std::max(high_K, coverage_k * probe.u_K);
  if (holds(high_K)) return high_K;
  double low_K = 0;
  while (high_K - low_K > fine_enough_K) {
    const double middle_K = (low_K + high_K) / 2;
    (holds(middle_K) ? low_K : high_K) = middle_K;
  }
  return low_K;
}

} // namespace coldbag
