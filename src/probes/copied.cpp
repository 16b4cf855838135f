#include "probes/copied.h"

#include <algorithm>

namespace coldbag {

void CopyWatch::agree(double time_s, double value, const CheckLimits& limits) {
  if (run_ == 0) {
    from_s_ = time_s;
    changes_ = 0;
    last_ = lowest_ = highest_ = value;
  }
  ++run_;
  changes_ += value != last_ ? 1 : 0;
  last_ = value;
  lowest_ = std::min(lowest_, value);
  highest_ = std::max(highest_, value);
  if (run_ < limits.copied_readings || changes_ < limits.copied_changes ||
      highest_ - lowest_ < limits.copied_span_K)
    return;
  if (!seen_ || run_ > seen_->readings) seen_ = Seen{from_s_, time_s, run_};
}

} // namespace coldbag
