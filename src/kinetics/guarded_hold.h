// A hold as its lower bound may claim it: a gap never gives back what the running mean takes off its ends.
#pragma once

#include "kinetics/hold.h"
#include "kinetics/running_mean.h"

namespace coldbag {

/// Follows a smoothed trace against one setpoint. The window of the mean shrinks beside a gap, so there a
/// knee is rounded less than it would be without the gap; readings whose window a gap cut short therefore
/// count against a hold and never for it: a cold one ends it at the last whole one, a hot one is passed over.
class GuardedHold {
 public:
  /// `guards`: false takes every reading as it is, as the estimate does.
  GuardedHold(double setpoint_degC, bool guards) : meter_(setpoint_degC), guards_(guards) {}

  void take(const RunningMean::Reading& reading);
  [[nodiscard]] const HoldMeter& meter() const { return meter_; }

 private:
  HoldMeter meter_;
  bool guards_;
  bool passed_over_ = false;
  Join worst_ = Join::linear; ///< of what lay before the readings passed over
};

} // namespace coldbag
