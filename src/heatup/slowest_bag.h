// How slow the slowest bag without a probe may be, judged from those that have one.
#pragma once

#include "heatup/heating_figures.h"

#include <vector>

namespace coldbag {

/// How bags of one kind differ in speed: standard deviation of its logarithm, and the degrees of freedom it
/// rests on.
struct SpeedSpread {
  double sd = 0;
  double freedom = 0;
  bool operator==(const SpeedSpread&) const = default;
};

/// Spread of the speeds of all kinds together, each kind's mean taken off, beside what was known before:
/// s^2 = (sum of squares + nu0 s0^2) / (n - kinds + nu0). One bag of a kind tells nothing of it.
/// s0 and nu0: bag_spread and bag_spread_weight, or what a farm has learned.
[[nodiscard]] SpeedSpread pooled_spread(const std::vector<std::vector<double>>& speeds_ln_by_kind, double s0,
                                        double nu0);

/// K: the slowest of so many unprobed bags lies above mean - K sd, at 95 %: the 95 % quantile of
/// (Z / sqrt n - least of M normals) / sqrt(chi2_nu / nu), by quadrature to 1e-4. probes n at least 1,
/// unprobed M at least 1, freedom nu above 0 (checked). Guarded by tests/heatup/slowest_bag_test.cpp.
[[nodiscard]] double slowest_factor(int probes, int unprobed, double freedom);

/// How the probed bags of a kind were chosen.
enum class Placed { at_random, at_cold_spots };

/// Logarithm of the speed that the slowest unprobed bag of a kind is not below, at 95 %. Bags probed at
/// mapped cold spots are no random sample: then the spread known before is taken around the slowest of them.
/// The kind must have a probed bag (checked).
[[nodiscard]] double slowest_speed_ln(const std::vector<double>& speeds_ln, int unprobed,
                                      const SpeedSpread& spread, Placed placed, double s0, double nu0);

} // namespace coldbag
