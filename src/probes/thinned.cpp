#include "probes/thinned.h"

#include <algorithm>

namespace coldbag {

namespace {

void join(ThinTrace::Bucket& into, const ThinTrace::Bucket& other) {
  if (other.count == 0) return;
  if (into.count == 0) {
    into = other;
    return;
  }
  into.lowest = std::min(into.lowest, other.lowest);
  into.highest = std::max(into.highest, other.highest);
  into.sum += other.sum;
  into.count += other.count;
  into.credited += other.credited;
}

} // namespace

void ThinTrace::double_width() {
  for (std::size_t i = 0; i < buckets_.size(); ++i) {
    const Bucket moved = buckets_[i];
    buckets_[i] = {};
    join(buckets_[i / 2], moved);
  }
  buckets_.resize((buckets_.size() + 1) / 2);
  width_s_ *= 2;
  inverse_width_per_s_ /= 2; // a power of two: exact
}

void ThinTrace::add_beyond(double time_s, double value, bool is_credited) {
  while (time_s * inverse_width_per_s_ >= static_cast<double>(most_buckets))
    double_width();
  const auto i = static_cast<std::size_t>(std::max(0.0, time_s * inverse_width_per_s_));
  if (i >= buckets_.size()) buckets_.resize(i + 1);
  add(buckets_[i], value, is_credited);
}

std::optional<double> ThinTrace::mean_between(double from_s, double to_s) const {
  std::int64_t sum = 0;
  std::int64_t count = 0;
  const auto first = static_cast<std::size_t>(std::max(0.0, from_s) * inverse_width_per_s_);
  for (std::size_t i = first; i < buckets_.size() && static_cast<double>(i) * width_s_ < to_s; ++i) {
    sum += buckets_[i].sum;
    count += buckets_[i].count;
  }
  if (count == 0) return std::nullopt;
  return static_cast<double>(sum) * 0x1p-20 / static_cast<double>(count);
}

} // namespace coldbag
