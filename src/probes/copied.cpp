#include "probes/copied.h"

#include <algorithm>

namespace coldbag {

void CopyWatch::take(double time_s, double one, double other, const CheckLimits& limits) {
  if (one != other) {
    run_ = 0;
    return;
  }
  if (run_ == 0) {
    from_s_ = time_s;
    changes_ = 0;
    last_ = lowest_ = highest_ = one;
  }
  ++run_;
  changes_ += one != last_ ? 1 : 0;
  last_ = one;
  lowest_ = std::min(lowest_, one);
  highest_ = std::max(highest_, one);
  if (run_ < limits.copied_readings || changes_ < limits.copied_changes ||
      highest_ - lowest_ < limits.copied_span_K)
    return;
  if (!seen_ || run_ > seen_->readings) seen_ = Seen{from_s_, time_s, run_};
}

} // namespace coldbag
