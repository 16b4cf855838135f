#include "kinetics/running_mean.h"

#include <algorithm>
#include <cmath>

namespace coldbag {

double mean_window_s(double interval_s) {
  return std::clamp(10 * interval_s, 300.0, 600.0);
}

bool mean_smooths(double interval_s) {
  return interval_s <= mean_window_s(interval_s) / 2;
}

std::int64_t RunningMean::exact(double degC) {
  return static_cast<std::int64_t>(std::nearbyint(std::clamp(degC, -1e4, 1e4) * 0x1p36));
}

void RunningMean::start_piece(double time_s) {
  piece_start_s_ = time_s;
  next_ = from_ = to_ = 0;
  sum_ = 0;
}

double RunningMean::mean_of_next(double end_s) {
  const double at_s = held_[next_].reading.time_s;
  const double half_s = std::min({half_s_, at_s - piece_start_s_, end_s - at_s});
  while (to_ < held_.size() && held_[to_].reading.time_s <= at_s + half_s)
    sum_ += held_[to_++].exact;
  while (held_[from_].reading.time_s < at_s - half_s)
    sum_ -= held_[from_++].exact;
  const std::size_t count = to_ - from_;
  if (count < 3) return held_[next_].reading.degC;
  return static_cast<double>(sum_) * 0x1p-36 / static_cast<double>(count);
}

void RunningMean::drop_used() {
  if (from_ < 1024) return;
  held_.erase(held_.begin(), held_.begin() + static_cast<std::ptrdiff_t>(from_));
  next_ -= from_;
  to_ -= from_;
  from_ = 0;
}

} // namespace coldbag
