#include "kinetics/hold.h"

namespace coldbag {

void HoldMeter::begin(double at_s) {
  is_open_ = true;
  open_from_s_ = at_s;
  open_withheld_s_ = 0;
  if (!hot_at_s_) hot_at_s_ = at_s;
}

void HoldMeter::end(double at_s) {
  if (!is_open_) return;
  is_open_ = false;
  const Stretch ended{open_from_s_, at_s, open_withheld_s_};
  closed_total_s_ += ended.length_s();
  if (ended.length_s() > longest_.length_s()) longest_ = ended;
}

void HoldMeter::take(double time_s, double t_degC, Join join_before) {
  const bool is_hot = t_degC >= setpoint_degC_;
  if (!has_last_ || join_before == Join::broken) {
    end(last_time_s_);
    if (is_hot) begin(time_s);
  } else if (is_hot != is_open_) {
    double crossing_s = is_hot ? time_s : last_time_s_;
    if (join_before == Join::linear)
      crossing_s =
          last_time_s_ + (time_s - last_time_s_) * ((setpoint_degC_ - last_degC_) / (t_degC - last_degC_));
    if (is_hot)
      begin(crossing_s);
    else
      end(crossing_s);
  } else if (is_open_ && join_before == Join::withheld) {
    open_withheld_s_ += time_s - last_time_s_;
  }
  has_last_ = true;
  last_time_s_ = time_s;
  last_degC_ = t_degC;
}

void HoldMeter::stop() {
  if (has_last_) end(last_time_s_);
  has_last_ = false;
}

Stretch HoldMeter::longest() const {
  const auto now = open();
  return now && now->length_s() > longest_.length_s() ? *now : longest_;
}

double HoldMeter::total_s() const {
  const auto now = open();
  return closed_total_s_ + (now ? now->length_s() : 0);
}

std::optional<Stretch> HoldMeter::open() const {
  if (!is_open_) return std::nullopt;
  return Stretch{open_from_s_, last_time_s_, open_withheld_s_};
}

} // namespace coldbag
