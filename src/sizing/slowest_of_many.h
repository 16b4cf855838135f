// The lowest of many normal draws: how far it lies under the mean, and how surely.
#pragma once

namespace coldbag {

/// Of `count` independent standard normal draws: mean depth of the lowest, and its standard deviation.
struct LowestDraw {
  double mean_depth = 0;
  double sd = 1;
};
/// count 1 to 1e6 (checked). Moments of the extreme order statistic by quadrature, to 1e-6; guarded by
/// tests/sizing/slowest_of_many_test.cpp.
[[nodiscard]] LowestDraw lowest_of(int count);

} // namespace coldbag
