#include "heatup/slowest_bag.h"

#include "errors/our_fault.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>

namespace coldbag {

namespace {

double normal_below(double x) {
  return std::erfc(-x / std::numbers::sqrt2) / 2;
}

double normal_density(double x) {
  return std::exp(-x * x / 2) * std::numbers::inv_sqrtpi / std::numbers::sqrt2;
}

/// Probability that Z / sqrt n plus the largest of M normals stays below x, on an even grid of x.
class ExtremeBelow {
 public:
  ExtremeBelow(int probes, int unprobed) {
    const double root = std::sqrt(static_cast<double>(probes));
    for (std::size_t i = 0; i < count; ++i) {
      const double x = lowest + width * static_cast<double>(i);
      double sum = 0;
      for (int n = 0; n <= steps; ++n) {
        const double z = -reach + step * n;
        sum += normal_density(z) * std::pow(normal_below(x - z / root), unprobed);
      }
      below_.push_back(sum * step);
    }
  }
  [[nodiscard]] double at(double x) const {
    const double place = (x - lowest) / width;
    if (place <= 0) return below_.front();
    const auto i = static_cast<std::size_t>(place);
    if (i + 1 >= count) return below_.back();
    return below_[i] + (place - static_cast<double>(i)) * (below_[i + 1] - below_[i]);
  }

 private:
  static constexpr double lowest = -6, width = 0.02, reach = 7, step = 0.1;
  static constexpr int steps = 140;
  static constexpr std::size_t count = 1001;
  std::vector<double> below_;
};

/// Density of sqrt(chi2_nu / nu) at s.
double spread_density(double s, double freedom) {
  const double half = freedom / 2;
  return std::exp(std::log(2.0) + half * std::log(half) - std::lgamma(half) + (freedom - 1) * std::log(s) -
                  half * s * s);
}

} // namespace

SpeedSpread pooled_spread(const std::vector<std::vector<double>>& speeds_ln_by_kind, double s0, double nu0) {
  double squares = nu0 * s0 * s0;
  double freedom = nu0;
  for (const std::vector<double>& speeds : speeds_ln_by_kind) {
    if (speeds.size() < 2) continue;
    const auto n = static_cast<double>(speeds.size());
    const double mean = std::accumulate(speeds.begin(), speeds.end(), 0.0) / n;
    for (const double speed : speeds)
      squares += (speed - mean) * (speed - mean);
    freedom += n - 1;
  }
  return {std::sqrt(squares / freedom), freedom};
}

double slowest_factor(int probes, int unprobed, double freedom) {
  our_check(probes >= 1 && unprobed >= 1 && freedom > 0, "there are bags with and without a probe");
  constexpr double level = 0.95;
  const ExtremeBelow below(probes, unprobed);
  // Middles of even slices of s, wide enough for any freedom.
  constexpr int slices = 400;
  const double widest = 1 + 8 / std::sqrt(2 * freedom) + 2;
  std::vector<double> s;
  std::vector<double> weight;
  for (int i = 0; i < slices; ++i) {
    s.push_back((i + 0.5) * widest / slices);
    weight.push_back(spread_density(s.back(), freedom) * widest / slices);
  }
  const double all = std::accumulate(weight.begin(), weight.end(), 0.0);
  double low = -5;
  double high = 100;
  while (high - low > 1e-6) {
    const double k = (low + high) / 2;
    double sum = 0;
    for (std::size_t i = 0; i < s.size(); ++i)
      sum += weight[i] * below.at(k * s[i]);
    (sum < level * all ? low : high) = k;
  }
  return (low + high) / 2;
}

double slowest_speed_ln(const std::vector<double>& speeds_ln, int unprobed, const SpeedSpread& spread,
                        Placed placed, double s0, double nu0) {
  our_check(!speeds_ln.empty(), "the kind has a probed bag");
  if (placed == Placed::at_cold_spots) {
    const double slowest = *std::min_element(speeds_ln.begin(), speeds_ln.end());
    return slowest - slowest_factor(static_cast<int>(speeds_ln.size()), unprobed, nu0) * s0;
  }
  const auto n = static_cast<double>(speeds_ln.size());
  const double mean = std::accumulate(speeds_ln.begin(), speeds_ln.end(), 0.0) / n;
  return mean - slowest_factor(static_cast<int>(speeds_ln.size()), unprobed, spread.freedom) * spread.sd;
}

} // namespace coldbag
