#include "run/danger_meter.h"

#include "steam/saturation.h"

#include <algorithm>
#include <cmath>

namespace coldbag {

namespace {

constexpr double fall_window_s = 60;
constexpr double onset_low_K = 1;  // assumed: still as cold as at the start
constexpr double onset_high_K = 5; // assumed: certainly warming
constexpr double falling_K = 2; // assumed: under the highest reading, where nobody said when steam went off
constexpr double hot_before_opening_degC = 60; // assumed: a fall from less is no opening of a hot vessel
constexpr std::size_t most_falls = 20;

constexpr double lowest_read_Pa = 1000; // absolute; outside these a gauge's cell is a fault (assumed)
constexpr double highest_read_Pa = 2e7;

std::optional<OverMeter> meter_for(const std::optional<double>& limit, double held_s) {
  return limit ? std::optional(OverMeter(*limit, held_s)) : std::nullopt;
}

// Temperature at which the implied pressure is this part of the rating.
std::optional<double> rating_degC(const DangerRule& rule, double part) {
  if (!rule.rating_gauge_Pa || rule.outside_Pa + *rule.rating_gauge_Pa > highest_read_Pa) return std::nullopt;
  return saturation_temperature_degC(rule.outside_Pa + part * *rule.rating_gauge_Pa);
}

std::optional<double> part_of_rating(const DangerRule& rule, double part) {
  if (!rule.rating_gauge_Pa) return std::nullopt;
  return part * *rule.rating_gauge_Pa;
}

std::vector<AroundMoment> moments_of(const DangerRule& rule) {
  std::vector<AroundMoment> moments;
  for (const double at_s : rule.moments_s)
    moments.push_back({at_s, {}, {}, 0, 0});
  return moments;
}

void follow(std::vector<AroundMoment>& moments, double time_s, double value) {
  for (AroundMoment& moment : moments)
    if (time_s <= moment.at_s) {
      moment.before = value;
      moment.before_s = time_s;
    } else if (!moment.after) {
      moment.after = value;
      moment.after_s = time_s;
    }
}

// Gauge pressure at which water boils over the limit.
double over_boiling_Pa(const DangerRule& rule) {
  return saturation_pressure_Pa(rule.boiling_degC + rule.limits.over_boiling_K) - rule.outside_Pa;
}

std::optional<OverSeen> seen_by(const std::optional<OverMeter>& meter) {
  return meter ? meter->seen() : std::nullopt;
}

} // namespace

bool is_readable_Pa(double abs_pressure_Pa) {
  return abs_pressure_Pa >= lowest_read_Pa && abs_pressure_Pa <= highest_read_Pa;
}

void OverMeter::count() {
  if (!counts_) {
    counts_ = true;
    is_first_ = !seen_;
    if (!seen_) seen_ = OverSeen{open_, open_, open_highest_, open_highest_at_s_, true};
  }
  if (is_first_) seen_->first = open_;
  if (open_.length_s() > seen_->longest.length_s()) seen_->longest = open_;
  if (open_highest_ > seen_->highest) {
    seen_->highest = open_highest_;
    seen_->highest_at_s = open_highest_at_s_;
  }
  seen_->goes_on = true;
}

void OverMeter::take(double time_s, double value) {
  const bool stands_apart = has_last_ && time_s - last_s_ > held_s_;
  if (is_open_ && stands_apart) count(); // the reading before stood alone on this side
  if (value > limit_) {
    if (!is_open_) {
      is_open_ = true;
      counts_ = false;
      open_ = {time_s, time_s};
      open_highest_ = value;
      open_highest_at_s_ = time_s;
    }
    open_.to_s = time_s;
    if (value > open_highest_) {
      open_highest_ = value;
      open_highest_at_s_ = time_s;
    }
    if (counts_ || stands_apart || open_.length_s() >= held_s_) count();
  } else {
    is_open_ = false;
    if (seen_) seen_->goes_on = false;
  }
  has_last_ = true;
  last_s_ = time_s;
}

void FallMeter::take(double time_s, double value, double counts_from) {
  recent_.push_back({time_s, value});
  while (recent_.size() > 2 && recent_[1].time_s <= time_s - window_s_)
    recent_.pop_front();
  const Reading& from = recent_.front();
  const double dt_s = time_s - from.time_s;
  if (dt_s < window_s_ || from.value < counts_from) return;
  const double per_s = (from.value - value) / dt_s;
  if (per_s > 0 && (!steepest_ || per_s > steepest_->per_s))
    steepest_ = FallSeen{per_s, from.value, from.time_s};
}

std::optional<double> AroundMoment::reading(double reach_s) const {
  if (before && at_s - before_s <= reach_s) return before;
  if (after && after_s - at_s <= reach_s) return after;
  return std::nullopt;
}

DangerMeter::DangerMeter(DangerRule rule)
    : rule_(std::move(rule)),
      over_boiling_(rule_.boiling_degC + rule_.limits.over_boiling_K, rule_.limits.held_s),
      over_surface_(rule_.limits.surface_degC, rule_.limits.surface_held_s),
      surface_at_once_(rule_.limits.surface_at_once_degC, 0),
      vacuum_(rule_.limits.vacuum_Pa, rule_.limits.held_s),
      near_rating_(meter_for(rating_degC(rule_, rule_.limits.rating_near), rule_.limits.held_s)),
      over_rating_(meter_for(rating_degC(rule_, 1), rule_.limits.held_s)),
      over_film_(meter_for(rule_.film_degC, rule_.limits.held_s)), fall_(fall_window_s),
      fall_counts_from_Pa_(over_boiling_Pa(rule_)) {
  seen_.moments = moments_of(rule_);
}

bool DangerMeter::is_vent_shut(double time_s) const {
  return std::any_of(rule_.vent_shut.begin(), rule_.vent_shut.end(),
                     [time_s](const Stretch& shut) { return time_s >= shut.from_s && time_s < shut.to_s; });
}

void DangerMeter::follow_pressure(double time_s, double degC) {
  over_boiling_.take(time_s, degC);
  if (near_rating_) near_rating_->take(time_s, degC);
  if (over_rating_) over_rating_->take(time_s, degC);
  const double gauge_Pa = degC > rule_.boiling_degC ? saturation_pressure_Pa(degC) - rule_.outside_Pa : 0;
  fall_.take(time_s, gauge_Pa, fall_counts_from_Pa_);
}

// The vessel was full of steam, its vents are shut, and the steam shrinks.
void DangerMeter::follow_vacuum(double time_s, double degC) {
  if (degC >= rule_.boiling_degC - rule_.limits.over_boiling_K) was_hot_ = true;
  const bool falls =
      rule_.steam_off_at_s ? time_s >= *rule_.steam_off_at_s : degC <= seen_.highest_degC - falling_K;
  const bool counts = was_hot_ && falls && is_vent_shut(time_s);
  vacuum_.take(time_s, counts ? rule_.outside_Pa - saturation_pressure_Pa(std::max(degC, 0.0)) : 0);
}

void DangerMeter::follow_trace(double time_s, double degC) {
  TraceMoments& trace = seen_.trace;
  if (!trace.rose_at_s) {
    if (degC <= first_degC_ + onset_low_K) last_low_s_ = time_s;
    if (degC >= first_degC_ + onset_high_K) trace.rose_at_s = last_low_s_;
  }
  while (!hottest_.empty() && hottest_.back().degC <= degC)
    hottest_.pop_back();
  hottest_.push_back({time_s, degC});
  while (hottest_.front().time_s < time_s - rule_.limits.opening_fall_within_s)
    hottest_.pop_front();
  const Reading& from = hottest_.front();
  const bool fell = from.degC - degC >= rule_.limits.opening_fall_K && from.degC >= hot_before_opening_degC &&
                    degC < rule_.boiling_degC - rule_.limits.over_boiling_K;
  if (fell && !in_fast_fall_ && trace.fell_fast_at_s.size() < most_falls)
    trace.fell_fast_at_s.push_back(from.time_s);
  in_fast_fall_ = fell;
  if (degC > rule_.limits.cooled_degC) {
    is_cool_ = false;
    trace.cooled_at_s.reset();
  } else if (!is_cool_) {
    is_cool_ = true;
    if (seen_.highest_degC > hot_before_opening_degC) trace.cooled_at_s = time_s;
  }
}

void DangerMeter::take(double time_s, double degC) {
  DangerSeen& s = seen_;
  if (s.readings > 0 && time_s - s.last_s > s.longest_silence.length_s())
    s.longest_silence = {s.last_s, time_s};
  if (s.readings == 0) {
    s.first_s = time_s;
    last_low_s_ = time_s;
    first_degC_ = degC;
  }
  ++s.readings;
  s.last_s = time_s;
  if (degC > rule_.limits.reading_highest_degC || degC < rule_.limits.reading_lowest_degC) {
    if (!s.out_of_range_at_s) {
      s.out_of_range_at_s = time_s;
      s.out_of_range_degC = degC;
    }
    return;
  }
  s.lowest_degC = std::min(s.lowest_degC, degC);
  if (degC > s.highest_degC) {
    s.highest_degC = degC;
    s.highest_at_s = time_s;
  }
  follow_pressure(time_s, degC);
  if (over_film_) over_film_->take(time_s, degC);
  over_surface_.take(time_s, degC);
  surface_at_once_.take(time_s, degC);
  follow_vacuum(time_s, degC);
  follow_trace(time_s, degC);
  follow(s.moments, time_s, degC);
}

DangerSeen DangerMeter::seen() const {
  DangerSeen out = seen_;
  out.over_boiling = over_boiling_.seen();
  out.near_rating = seen_by(near_rating_);
  out.over_rating = seen_by(over_rating_);
  out.over_film = seen_by(over_film_);
  out.over_surface = over_surface_.seen();
  out.surface_at_once = surface_at_once_.seen();
  out.pressure_fall = fall_.steepest();
  out.vacuum = vacuum_.seen();
  return out;
}

PressureMeter::PressureMeter(DangerRule rule)
    : rule_(std::move(rule)), over_boiling_(over_boiling_Pa(rule_), rule_.limits.held_s),
      vacuum_(rule_.limits.vacuum_Pa, rule_.limits.held_s),
      near_rating_(meter_for(part_of_rating(rule_, rule_.limits.rating_near), rule_.limits.held_s)),
      over_rating_(meter_for(part_of_rating(rule_, 1), rule_.limits.held_s)), fall_(fall_window_s) {
  seen_.moments = moments_of(rule_);
}

void PressureMeter::take(double time_s, double gauge_Pa) {
  if (!is_readable_Pa(rule_.outside_Pa + gauge_Pa)) return;
  ++seen_.readings;
  over_boiling_.take(time_s, gauge_Pa);
  if (near_rating_) near_rating_->take(time_s, gauge_Pa);
  if (over_rating_) over_rating_->take(time_s, gauge_Pa);
  vacuum_.take(time_s, -gauge_Pa);
  fall_.take(time_s, std::max(0.0, gauge_Pa), rule_.limits.gauge_at_zero_Pa);
  follow(seen_.moments, time_s, gauge_Pa);
}

PressureSeen PressureMeter::seen() const {
  PressureSeen out = seen_;
  out.over_boiling = over_boiling_.seen();
  out.near_rating = seen_by(near_rating_);
  out.over_rating = seen_by(over_rating_);
  out.vacuum = vacuum_.seen();
  out.fall = fall_.steepest();
  return out;
}

std::vector<TimedPair> nearest_pairs(const std::vector<TimedValue>& first,
                                     const std::vector<TimedValue>& second, double within_s) {
  std::vector<TimedPair> pairs;
  std::size_t at = 0;
  for (const TimedValue& one : first) {
    while (at + 1 < second.size() &&
           std::abs(second[at + 1].time_s - one.time_s) <= std::abs(second[at].time_s - one.time_s))
      ++at;
    if (at < second.size() && std::abs(second[at].time_s - one.time_s) <= within_s)
      pairs.push_back({one.time_s, one.value, second[at].value});
  }
  return pairs;
}

} // namespace coldbag
