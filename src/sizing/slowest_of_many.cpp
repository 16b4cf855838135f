#include "sizing/slowest_of_many.h"

#include "errors/our_fault.h"

#include <cmath>
#include <numbers>

namespace coldbag {

LowestDraw lowest_of(int count) {
  our_check(count >= 1 && count <= 1000000, "a load has bags, and not a million");
  constexpr double reach = 9; // a normal draw beyond it has no weight
  constexpr int steps = 1800;
  constexpr double width = 2 * reach / steps;
  double first = 0;
  double second = 0;
  // By symmetry the highest of so many: density n phi(x) Phi(x)^(n-1), summed at midpoints (smooth, and flat
  // at both ends, so the sum is as good as any).
  for (int i = 0; i < steps; ++i) {
    const double x = -reach + (i + 0.5) * width;
    const double under = 0.5 * std::erfc(-x / std::numbers::sqrt2);
    const double density = count * std::exp(-x * x / 2) * std::numbers::inv_sqrtpi / std::numbers::sqrt2 *
                           std::pow(under, count - 1);
    first += x * density * width;
    second += x * x * density * width;
  }
  return {first, std::sqrt(second - first * first)};
}

} // namespace coldbag
