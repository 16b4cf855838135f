#include "kinetics/guarded_hold.h"

#include <algorithm>

namespace coldbag {

void GuardedHold::take(const RunningMean::Reading& reading) {
  if (guards_ && reading.is_cut && reading.degC >= meter_.setpoint_degC()) {
    worst_ = passed_over_ ? std::max(worst_, reading.join_before) : reading.join_before;
    passed_over_ = true;
    return;
  }
  Join join = reading.join_before;
  if (passed_over_) join = std::max({join, worst_, Join::gap});
  passed_over_ = false;
  meter_.take(reading.time_s, reading.degC, join);
}

} // namespace coldbag
