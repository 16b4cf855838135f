// A trace in bounded memory: buckets of time that grow as the log does.
#pragma once

#include <cmath>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <vector>

namespace coldbag {

/// Readings by buckets of equal width that begin at time 0; at most 4,096 of them. The width starts at one
/// second and doubles whenever a reading falls beyond the last bucket. Sums are exact (whole multiples of
/// 2^-20), so neither the way readings arrive nor the doubling changes a digit. Guarded by
/// tests/probes/thinned_test.cpp.
class ThinTrace {
 public:
  static constexpr std::size_t most_buckets = 4096;

  struct Bucket {
    double lowest = 0;
    double highest = 0;
    std::int64_t sum = 0; ///< in 2^-20
    std::int32_t count = 0;
    std::int32_t credited = 0;
    [[nodiscard]] double mean() const { return static_cast<double>(sum) * 0x1p-20 / count; }
    [[nodiscard]] double credited_share() const { return static_cast<double>(credited) / count; }
    bool operator==(const Bucket&) const = default;
  };

  /// Times at or above 0, in any order; values are finite and below 2^40 in size.
  void take(double time_s, double value, bool is_credited) {
    const double at = time_s > 0 ? time_s * inverse_width_per_s_ : 0;
    if (at < static_cast<double>(buckets_.size()))
      add(buckets_[static_cast<std::size_t>(at)], value, is_credited);
    else
      add_beyond(time_s, value, is_credited);
  }

  [[nodiscard]] double width_s() const { return width_s_; }
  /// Bucket i holds times from i width_s() up to the next; those without a reading have count 0.
  [[nodiscard]] const std::vector<Bucket>& buckets() const { return buckets_; }
  /// Mean of the readings between two times, by whole buckets; none where there is no reading.
  [[nodiscard]] std::optional<double> mean_between(double from_s, double to_s) const;

  bool operator==(const ThinTrace&) const = default;

 private:
  static void add(Bucket& bucket, double value, bool is_credited) {
    if (bucket.count == 0 || value < bucket.lowest) bucket.lowest = value;
    if (bucket.count == 0 || value > bucket.highest) bucket.highest = value;
    bucket.sum += std::llrint(value * 0x1p20);
    ++bucket.count;
    bucket.credited += is_credited ? 1 : 0;
  }
  void add_beyond(double time_s, double value, bool is_credited);
  void double_width();

  double width_s_ = 1;
  double inverse_width_per_s_ = 1;
  std::vector<Bucket> buckets_;
};

} // namespace coldbag
