// Per-sample noise of a trace from its second differences.
#pragma once

#include <array>
#include <cstdint>

namespace coldbag {

/// Standard deviation of white noise on a trace. Neighbouring second differences of white noise have
/// covariance -4 s^2, those of a smooth curve a positive one, so a trace without noise gives exactly 0
/// however it bends. Differences beyond eight times the median one (and 0.5 K) are steps, not noise, and are
/// left out. Derived here; guarded by tests/kinetics/noise_test.cpp on seeded noise.
class NoiseMeter {
 public:
  /// `follows`: the reading follows the one before without a gap.
  void take(double t_degC, bool follows);
  [[nodiscard]] double noise_K() const;

 private:
  static constexpr std::size_t bin_count = 64;
  std::array<double, bin_count> product_sum_{}; ///< by size of the larger difference
  std::array<std::int64_t, bin_count> count_{};
  double before_degC_ = 0;
  double before2_degC_ = 0;
  double last_difference_K_ = 0;
  int run_ = 0; ///< readings in the current unbroken run, at most 4
};

} // namespace coldbag
