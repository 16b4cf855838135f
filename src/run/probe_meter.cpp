#include "run/probe_meter.h"

#include <algorithm>

namespace coldbag {

namespace {

constexpr double near_top_K = 2;
constexpr double mark_every_s = 60;
constexpr double warm_again_K = 5;
constexpr double near_setpoint_K = 10; // a core this far under could have gone over a limit unseen (assumed)

Reference with_cut_off(const ProbeMeterRule& rule) {
  Reference reference = rule.reference;
  reference.lowest_degC = rule.counts_from_degC;
  return reference;
}

Join join_of(double dt_s, const ProbeMeterRule& rule) {
  if (dt_s <= rule.join_s) return Join::linear;
  return dt_s <= rule.gap_s ? Join::gap : Join::broken;
}

double step_K(const ProbeMeterRule& rule, int step) {
  return rule.ku_K * step / bound_steps;
}

// The steps of the lower bound, then the upper bound.
std::vector<double> shifts_K(const ProbeMeterRule& rule) {
  std::vector<double> shifts;
  for (int step = 0; step <= bound_steps; ++step)
    shifts.push_back(-step_K(rule, step));
  shifts.push_back(rule.ku_K);
  return shifts;
}

// A stretch between two readings taken as hot as the hotter of them.
void take_as_hotter(HoldMeter& meter, double from_s, double to_s, double t1_degC, double t2_degC) {
  const double hot_degC = std::max(t1_degC, t2_degC);
  meter.take(from_s, hot_degC, Join::linear);
  meter.take(to_s, hot_degC, Join::linear);
  meter.take(to_s, t2_degC, Join::linear);
}

} // namespace

Unseen unseen_within(const std::vector<Stretch>& unseen, const Stretch& stretch) {
  Unseen sum;
  for (const Stretch& step : unseen) {
    const double within_s = std::min(step.to_s, stretch.to_s) - std::max(step.from_s, stretch.from_s);
    if (within_s <= 0) continue;
    sum.s += within_s;
    ++sum.gaps;
  }
  return sum;
}

ProbeMeter::ProbeMeter(ProbeMeterRule rule)
    : rule_(std::move(rule)), mean_(mean_window_s(rule_.interval_s)),
      F_(with_cut_off(rule_), shifts_K(rule_)), bands_(rule_.reference), hold_possible_(rule_.setpoint_degC) {
  for (int step = 0; step <= bound_steps; ++step) {
    hold_step_.emplace_back(rule_.setpoint_degC + step_K(rule_, step),
                            step > 0 && mean_smooths(rule_.interval_s));
    if (step == 0 || rule_.has_strict_hold)
      strict_step_.emplace_back(rule_.setpoint_degC + step_K(rule_, step));
  }
  for (const Reference& reference : rule_.more)
    more_.emplace_back(reference, std::vector<double>{0, -rule_.ku_K, rule_.ku_K});
  for (const double level_degC : rule_.levels_degC) {
    level_.emplace_back(level_degC);
    level_lower_.emplace_back(level_degC + rule_.ku_K);
    level_upper_.emplace_back(level_degC - rule_.ku_K);
  }
}

void ProbeMeter::see(double time_s, double degC) {
  if (!has_last_) {
    first_s_ = time_s;
    first_degC_ = degC;
  }
  if (degC > top_degC_) {
    top_degC_ = degC;
    if (tops_.empty() || degC > tops_.back().degC + 0.01) tops_.push_back({time_s, degC});
  }
}

void ProbeMeter::add_segment(double dt_s, double t1_degC, double t2_degC, Join join) {
  const auto whole_minutes = F_.take(dt_s, t1_degC, t2_degC, join);
  bands_.take(dt_s, t1_degC, t2_degC, join, whole_minutes);
  if (rule_.keeps_time_at_temperature) time_at_temperature_.take(dt_s, t1_degC, t2_degC, join);
  for (ExposureMeter& meter : more_)
    meter.take(dt_s, t1_degC, t2_degC, join);
  if (join != Join::broken && join != Join::withheld) return;
  not_credited_s_ += dt_s;
  if (std::max(t1_degC, t2_degC) >= rule_.setpoint_degC - near_setpoint_K) unwatched_s_ += dt_s;
}

// Warm again after a break is another run; a little more than the limit is asked, so that noise at it starts
// none.
void ProbeMeter::follow_runs(double time_s, double degC) {
  if (!is_warm_ && degC >= rule_.break_below_degC + warm_again_K) {
    is_warm_ = true;
    if (runs_.size() < 100) runs_.push_back({time_s, time_s});
  } else if (degC < rule_.break_below_degC) {
    is_warm_ = false;
  }
  if (is_warm_ && !runs_.empty()) runs_.back().to_s = time_s;
}

void ProbeMeter::smooth(const RunningMean::Reading& reading) {
  follow_runs(reading.time_s, reading.degC);
  for (GuardedHold& hold : hold_step_)
    hold.take(reading);
  if (reading.join_before == Join::linear) hold_possible_.take(reading.time_s, reading.degC, Join::linear);
  if (reading.degC > plateau_degC_) plateau_degC_ = reading.degC;
  if (reading.degC >= plateau_degC_ - near_top_K) last_near_plateau_s_ = reading.time_s;
  last_mean_degC_ = reading.degC;
}

// A stretch without credit and with a reading on one side only: at best it was as hot as that.
void ProbeMeter::count_withheld_as(double from_s, double to_s, double degC) {
  if (to_s <= from_s) return;
  add_segment(to_s - from_s, degC, degC, Join::broken);
  take_as_hotter(hold_possible_, from_s, to_s, degC, degC);
}

void ProbeMeter::withhold(double time_s, std::optional<double> degC) {
  if (time_s > rule_.credit_ends_at_s) return;
  if (!is_withheld_) withheld_from_s_ = time_s;
  is_withheld_ = true;
  withheld_to_s_ = time_s;
  if (degC) withheld_top_degC_ = std::max(withheld_top_degC_.value_or(*degC), *degC);
}

void ProbeMeter::credit(double time_s, double degC) {
  const double dt_s = time_s - last_s_;
  Join join = has_last_ && !clock_broke_ ? join_of(dt_s, rule_) : Join::broken;
  if (join != Join::broken && (is_withheld_ || time_s > rule_.elsewhere_from_s)) join = Join::withheld;
  if (is_withheld_ && !has_last_) count_withheld_as(withheld_from_s_, time_s, degC);
  const auto give = [this](const RunningMean::Reading& reading) { smooth(reading); };
  if (has_last_) {
    if (rule_.steam_off_at_s && join == Join::linear && time_s > *rule_.steam_off_at_s) {
      const double off_s = std::max(*rule_.steam_off_at_s, last_s_);
      const double off_degC = last_degC_ + (degC - last_degC_) * ((off_s - last_s_) / dt_s);
      after_steam_off_.add_minutes(segment_F_minutes(time_s - off_s, off_degC, degC, with_cut_off(rule_)));
    }
    add_segment(dt_s, last_degC_, degC, join);
    if (dt_s > rule_.unseen_from_s && (join == Join::linear || join == Join::gap))
      unseen_.push_back({last_s_, time_s, 0});
  }
  if (join != Join::linear) {
    mean_.finish(give, true);
    if (has_last_)
      take_as_hotter(hold_possible_, last_s_, time_s, last_degC_, degC);
    else
      hold_possible_.take(time_s, degC, is_withheld_ ? Join::linear : Join::broken);
  }
  mean_.take({time_s, degC, join}, give);
  for (HoldMeter& meter : strict_step_)
    meter.take(time_s, degC, join);
  for (HoldMeter& meter : level_)
    meter.take(time_s, degC, join);
  for (HoldMeter& meter : level_lower_)
    meter.take(time_s, degC, join);
  for (HoldMeter& meter : level_upper_)
    meter.take(time_s, degC, join);
  if (marks_.empty() || time_s >= marks_.back().time_s + mark_every_s)
    marks_.push_back({time_s, F_.F_minutes(0), F_.F_minutes(bound_steps)});
}

void ProbeMeter::take_silence(double time_s) {
  if (!has_last_ && !silent_from_s_) silent_from_s_ = time_s;
  last_row_s_ = std::max(last_row_s_, time_s);
}

void ProbeMeter::take(double time_s, double degC) {
  if (!has_last_ && silent_from_s_ && time_s - *silent_from_s_ > rule_.join_s) mean_.begin_after_gap();
  // A row behind it may have been silent while this reading was weighed.
  last_row_s_ = std::max(last_row_s_, time_s);
  see(time_s, degC);
  noise_.take(degC, has_last_ && !clock_broke_ && !is_withheld_ && time_s - last_s_ <= rule_.join_s);
  if (!credit_ended_) {
    if (time_s <= rule_.credit_ends_at_s) {
      credit(time_s, degC);
    } else {
      const double end_s = rule_.credit_ends_at_s;
      if (has_last_ && is_withheld_) {
        faulty_to_the_end_ = withheld_to_s_ - last_s_ > rule_.gap_s;
        mean_.finish([this](const RunningMean::Reading& reading) { smooth(reading); }, true);
        count_withheld_as(last_s_, withheld_to_s_, last_degC_);
      }
      if (has_last_ && !clock_broke_ && !is_withheld_ && end_s > last_s_ && time_s - last_s_ <= rule_.join_s)
        credit(end_s, last_degC_ + (degC - last_degC_) * ((end_s - last_s_) / (time_s - last_s_)));
      credit_ended_ = true;
    }
  }
  is_withheld_ = false;
  has_last_ = true;
  clock_broke_ = false;
  last_s_ = time_s;
  last_degC_ = degC;
}

double ProbeMeter::F_minutes_until(double time_s) const {
  double F_minutes = 0;
  for (const FMark& mark : marks_) {
    if (mark.time_s > time_s) break;
    F_minutes = mark.F_minutes;
  }
  return F_minutes;
}

ProbeMeasures ProbeMeter::measures() const {
  ProbeMeter done = *this;
  const bool is_silent = last_row_s_ - last_s_ > rule_.join_s || is_withheld_;
  done.mean_.finish([&done](const RunningMean::Reading& reading) { done.smooth(reading); }, is_silent);
  if (is_withheld_ && has_last_) done.count_withheld_as(last_s_, withheld_to_s_, last_degC_);
  ProbeMeasures out;
  out.F_minutes = F_.F_minutes(0);
  out.F_possible_minutes = done.F_.F_possible_minutes(0);
  for (std::size_t step = 0; step <= bound_steps; ++step)
    out.F_step_minutes.push_back(F_.F_minutes(step));
  out.F_upper_minutes = F_.F_minutes(bound_steps + 1);
  out.F_after_steam_off_minutes = after_steam_off_.minutes();
  out.F_band_minutes = bands_.F_minutes();
  out.F_minutes_all = bands_.total_minutes();
  for (const ExposureMeter& meter : done.more_) {
    out.more_minutes.push_back(meter.F_minutes(0));
    out.more_lower_minutes.push_back(meter.F_minutes(1));
    out.more_upper_minutes.push_back(meter.F_minutes(2));
    out.more_possible_minutes.push_back(meter.F_possible_minutes(0));
  }
  out.hold = done.hold_step_[0].meter().longest();
  out.strict_hold = strict_step_[0].longest();
  out.hold_lower = done.hold_step_.back().meter().longest();
  out.strict_lower = strict_step_.back().longest();
  out.hold_total_s = done.hold_step_[0].meter().total_s();
  out.hold_possible_s = done.hold_possible_.longest().length_s();
  for (const GuardedHold& hold : done.hold_step_)
    out.hold_step_s.push_back(hold.meter().longest().length_s());
  for (const HoldMeter& meter : strict_step_)
    out.strict_step_s.push_back(meter.longest().length_s());
  out.open_lower = done.hold_step_.back().meter().open();
  out.open_strict_lower = strict_step_.back().open();
  for (std::size_t i = 0; i < level_.size(); ++i) {
    out.level_s.push_back(level_[i].total_s());
    out.level_lower_s.push_back(level_lower_[i].total_s());
    out.level_upper_s.push_back(level_upper_[i].total_s());
    out.level_longest_s.push_back(level_[i].longest().length_s());
  }
  out.time_at_temperature = time_at_temperature_;
  out.runs = done.runs_;
  out.noise_K = noise_.noise_K();
  out.unseen = unseen_;
  out.not_credited_s = done.not_credited_s_;
  out.unwatched_s = done.unwatched_s_;
  const bool was_moved =
      has_last_ && std::min(last_s_, rule_.credit_ends_at_s) - rule_.elsewhere_from_s > rule_.gap_s;
  out.faulty_to_the_end = faulty_to_the_end_ || was_moved ||
                          (is_withheld_ && (!has_last_ || withheld_to_s_ - last_s_ > rule_.gap_s));
  out.withheld_top_degC = withheld_top_degC_;
  out.hot_at_s = done.hold_step_[0].meter().hot_at_s();
  if (has_last_) {
    out.top_degC = top_degC_;
    out.first_degC = first_degC_;
    out.last_degC = last_degC_;
    for (const Top& top : tops_)
      if (!out.near_top_at_s && top.degC >= top_degC_ - near_top_K) out.near_top_at_s = top.time_s;
  }
  out.first_s = first_s_;
  out.last_s = last_s_;
  out.plateau_degC = done.plateau_degC_;
  out.last_mean_degC = done.last_mean_degC_;
  out.last_near_plateau_s = done.last_near_plateau_s_;
  return out;
}

} // namespace coldbag
