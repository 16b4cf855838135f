#include "kinetics/noise.h"

#include <algorithm>
#include <bit>
#include <cmath>

namespace coldbag {

namespace {

// Four bins to a doubling, from 1/1024 K upwards, read off the number's own bits; bin 0 is "below".
constexpr double first_edge_K = 0x1p-10;
constexpr double always_noise_K = 0.5;

std::uint64_t quarter(double size_K) {
  return std::bit_cast<std::uint64_t>(size_K) >> 50U;
}

std::size_t bin_of(double size_K, std::size_t bin_count) {
  if (size_K < first_edge_K) return 0;
  return std::min<std::size_t>(1 + (quarter(size_K) - quarter(first_edge_K)), bin_count - 1);
}

double upper_edge_K(std::size_t bin) {
  return std::bit_cast<double>((quarter(first_edge_K) + bin) << 50U);
}

} // namespace

void NoiseMeter::take(double t_degC, bool follows) {
  if (!follows) run_ = 0;
  run_ = std::min(run_ + 1, 4);
  if (run_ >= 3) {
    const double difference_K = (t_degC - before_degC_) - (before_degC_ - before2_degC_);
    if (run_ == 4) {
      const std::size_t bin =
          bin_of(std::max(std::abs(difference_K), std::abs(last_difference_K_)), bin_count);
      product_sum_[bin] += difference_K * last_difference_K_;
      ++count_[bin];
    }
    last_difference_K_ = difference_K;
  }
  before2_degC_ = before_degC_;
  before_degC_ = t_degC;
}

double NoiseMeter::noise_K() const {
  std::int64_t total = 0;
  for (const std::int64_t count : count_)
    total += count;
  if (total < 10) return 0;
  std::size_t median = 0;
  for (std::int64_t seen = count_[0]; 2 * seen < total;)
    seen += count_[++median];
  const double limit_K = std::max(8 * upper_edge_K(median), always_noise_K);
  double sum = 0;
  std::int64_t used = 0;
  for (std::size_t bin = 0; bin < bin_count && upper_edge_K(bin) <= limit_K; ++bin) {
    sum += product_sum_[bin];
    used += count_[bin];
  }
  return used == 0 || sum >= 0 ? 0 : std::sqrt(-sum / static_cast<double>(used) / 4);
}

} // namespace coldbag
