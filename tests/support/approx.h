// Comparison with the absolute and the relative part named; either may be zero.
#pragma once

#include <cmath>
#include <limits>

namespace coldbag::test {

[[nodiscard]] inline bool within(double got, double expected, double absolute, double relative = 0) {
  return std::abs(got - expected) <= absolute + relative * std::abs(expected);
}

/// |got - expected| in the expected value's own size.
[[nodiscard]] inline double relative_error(double got, double expected) {
  if (got == expected) return 0;
  if (expected == 0) return std::numeric_limits<double>::infinity();
  return std::abs(got - expected) / std::abs(expected);
}

} // namespace coldbag::test
