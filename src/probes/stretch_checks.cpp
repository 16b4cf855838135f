#include "probes/stretch_checks.h"

#include <algorithm>
#include <cmath>

namespace coldbag {

namespace {

constexpr std::size_t most_faults = 100;
constexpr int run_seen = 5; // readings after which a standing value is worth a look at the others
constexpr double roughness_share = 1.0 / 32;
constexpr double least_step_K = 1e-9;  // less is the rounding of a difference
constexpr double most_rough_steps = 8; // one true step of a trace is no noise

bool is_bag(const StretchRule& rule) {
  return rule.role == ProbeRole::bag;
}

bool is_steam(const StretchRule& rule) {
  return rule.role == ProbeRole::vessel || rule.role == ProbeRole::lid || rule.role == ProbeRole::drain;
}

} // namespace

void StretchChecks::add_fault(const char* kind, double from_s, double to_s, SaidValues values) {
  if (faults_.size() < most_faults)
    faults_.push_back({kind, from_s, to_s, std::move(values), FaultEffect::stretch_not_credited, ""});
}

void StretchChecks::settle(CheckedReading::Kind kind, Out& out) {
  if (held_.empty()) return;
  for (CheckedReading& reading : held_) {
    if (reading.kind == CheckedReading::Kind::credited) reading.kind = kind;
    out.push_back(reading);
  }
  held_.clear();
}

void StretchChecks::end_out_of_range() {
  if (!is_out_) return;
  is_out_ = false;
  add_fault("out_of_range", out_from_s_, out_to_s_,
            {{"read_degC", out_degC_},
             {"lowest_degC", rule_.limits.lowest_degC},
             {"highest_degC", rule_.limits.highest_degC}});
}

void StretchChecks::end_stuck() {
  add_fault("stuck", run_from_s_, last_s_,
            {{"stuck_degC", last_degC_}, {"stuck_minutes", (last_s_ - run_from_s_) / 60}});
  doubt_ = Doubt::none;
}

void StretchChecks::end_displaced() {
  add_fault("jump", base_s_, last_s_, {{"before_degC", base_degC_}, {"after_degC", base_degC_ + step_K_}});
  doubt_ = Doubt::none;
}

// Nothing more will come to settle it: a step up that has not come back is no heat to be credited.
void StretchChecks::end_doubt(Out& out) {
  if (doubt_ == Doubt::stuck) end_stuck();
  if (doubt_ == Doubt::displaced) end_displaced();
  if (doubt_ == Doubt::step) {
    const bool is_false_heat = is_bag(rule_) && step_K_ > 0;
    if (is_false_heat) {
      last_s_ = held_.back().time_s;
      end_displaced();
    }
    settle(is_false_heat ? CheckedReading::Kind::withheld : CheckedReading::Kind::credited, out);
    doubt_ = Doubt::none;
  }
  settle(CheckedReading::Kind::credited, out);
}

void StretchChecks::silent(double time_s, const Company& company) {
  if (rule_.role == ProbeRole::outside || time_s > rule_.ends_at_s || !company.any_reads()) return;
  if (silent_rows_ == 0) silent_from_s_ = time_s;
  ++silent_rows_;
  silent_to_s_ = time_s;
}

void StretchChecks::end_silence(double now_s, Out& out) {
  if (silent_rows_ == 0) return;
  const double from_s = has_last_ ? last_s_ : silent_from_s_;
  const bool is_long =
      silent_rows_ >= rule_.limits.dropout_readings && now_s - from_s >= rule_.limits.dropout_s;
  silent_rows_ = 0;
  if (!is_long) return;
  end_doubt(out);
  add_fault("dropout", from_s, now_s, {{"silent_minutes", (now_s - from_s) / 60}});
  out.push_back({silent_to_s_, 0, CheckedReading::Kind::silent});
  if (has_last_) { // what came before says nothing of what comes now
    steps_K_ = {};
    run_ = 0;
    has_last_ = false;
  }
}

void StretchChecks::take(double time_s, double degC, const Company& company, Out& out) {
  end_silence(time_s, out);
  const bool is_possible = degC >= rule_.limits.lowest_degC && degC <= rule_.limits.highest_degC;
  if (time_s > rule_.ends_at_s) {
    end_out_of_range();
    if (doubt_ == Doubt::stuck || doubt_ == Doubt::displaced) ended_in_doubt_ = true;
    end_doubt(out);
    run_ = 0;
    out.push_back(
        {time_s, degC,
         is_possible && !ended_in_doubt_ ? CheckedReading::Kind::credited : CheckedReading::Kind::withheld});
    return;
  }
  if (!is_possible) {
    if (!is_out_) {
      is_out_ = true;
      out_from_s_ = time_s;
      out_degC_ = degC;
    }
    out_to_s_ = time_s;
    if (doubt_ == Doubt::none) settle(CheckedReading::Kind::credited, out);
    const CheckedReading faulty{time_s, degC, CheckedReading::Kind::withheld};
    if (held_.empty())
      out.push_back(faulty);
    else
      held_.push_back(faulty);
    return;
  }
  end_out_of_range();
  follow(time_s, degC, company, out);
  if (doubt_ == Doubt::step) return;
  remember(time_s, degC);
  if (is_steam(rule_)) beside_degC_ = company.hottest_steam_degC();
}

void StretchChecks::remember(double time_s, double degC) {
  if (has_last_ && doubt_ != Doubt::displaced) {
    const double step_K = degC - last_degC_;
    const double size_K = std::abs(step_K);
    const double bend_K = std::abs(step_K - last_step_K_);
    for (const double between_K : {size_K, bend_K})
      if (between_K > least_step_K && (resolution_K_ == 0 || between_K < resolution_K_))
        resolution_K_ = between_K;
    const double rough_K = std::min(bend_K, most_rough_steps * resolution_K_);
    roughness_K_ += (rough_K - roughness_K_) * roughness_share;
    last_step_K_ = step_K;
    steps_K_ = {size_K, steps_K_[0], steps_K_[1]};
  } else if (!has_last_) {
    past_s_ = next_past_s_ = time_s;
    past_degC_ = next_past_degC_ = degC;
    last_step_K_ = 0;
  }
  if (time_s - next_past_s_ >= rule_.limits.stuck_s) {
    past_s_ = next_past_s_;
    past_degC_ = next_past_degC_;
    next_past_s_ = time_s;
    next_past_degC_ = degC;
  }
  has_last_ = true;
  last_s_ = time_s;
  last_degC_ = degC;
}

void StretchChecks::follow(double time_s, double degC, const Company& company, Out& out) {
  const CheckedReading reading{time_s, degC, CheckedReading::Kind::credited};
  if (doubt_ == Doubt::step) {
    held_.push_back(reading);
    weigh_step(company, out);
    return;
  }
  if (doubt_ == Doubt::displaced) {
    const double back_K = degC - last_degC_;
    const bool is_back = back_K * step_K_ < 0 && std::abs(back_K) >= std::abs(step_K_) / 2 &&
                         std::abs(back_K) >= rule_.limits.bag_step_K;
    if (is_back) end_displaced();
    out.push_back({time_s, degC, is_back ? CheckedReading::Kind::credited : CheckedReading::Kind::withheld});
    return;
  }
  if (has_last_ && degC == last_degC_) {
    stand_still(time_s, degC, company, out);
    return;
  }
  run_ = 0;
  if (doubt_ == Doubt::stuck) {
    end_stuck();
    out.push_back(reading);
    return;
  }
  settle(CheckedReading::Kind::credited, out);
  if (!is_step(time_s, degC, company)) {
    out.push_back(reading);
    return;
  }
  doubt_ = Doubt::step;
  is_lone_ = is_steam(rule_) && is_lone(degC - last_degC_, company);
  base_s_ = last_s_;
  base_degC_ = last_degC_;
  step_K_ = degC - last_degC_;
  steps_before_K_ = steps_K_;
  held_.push_back(reading);
  if (time_s - base_s_ > rule_.limits.step_interval_s) weigh_step(company, out);
}

// Another probe in the steam read on as before.
bool StretchChecks::is_lone(double step_K, const Company& company) const {
  if (!beside_degC_) return false;
  const auto now_degC = company.hottest_steam_degC();
  return now_degC && 3 * std::abs(*now_degC - *beside_degC_) <= std::abs(step_K);
}

bool StretchChecks::is_step(double time_s, double degC, const Company& company) const {
  if (!has_last_ || rule_.role == ProbeRole::outside) return false;
  const double size_K = std::abs(degC - last_degC_);
  const double dt_s = time_s - last_s_;
  if (dt_s <= rule_.limits.step_interval_s) {
    if (is_bag(rule_)) return size_K >= rule_.limits.bag_step_K;
    return size_K >= rule_.limits.steam_step_K ||
           (is_steam(rule_) && size_K >= rule_.limits.steam_beside_step_K &&
            is_lone(degC - last_degC_, company));
  }
  return is_bag(rule_) && size_K >= rule_.limits.bag_steepest_K_per_min * dt_s / 60;
}

// A step that comes back within a few readings is a spike; one that does not is a jump, or no fault at all.
void StretchChecks::weigh_step(const Company& company, Out& out) {
  const double least_K = is_bag(rule_) ? rule_.limits.bag_step_K
                         : is_lone_    ? rule_.limits.steam_beside_step_K
                                       : rule_.limits.steam_step_K;
  const CheckedReading now = held_.back();
  const bool is_close =
      now.time_s - base_s_ <= rule_.limits.step_interval_s * (rule_.limits.spike_readings + 1);
  if (held_.size() > 1 && is_close &&
      std::abs(now.degC - base_degC_) <= std::max(least_K / 2, std::abs(step_K_) / 4)) {
    held_.pop_back();
    add_fault("spike", held_.front().time_s, held_.back().time_s,
              {{"read_degC", held_.front().degC}, {"before_degC", base_degC_}, {"after_degC", now.degC}});
    settle(CheckedReading::Kind::withheld, out);
    out.push_back(now);
    doubt_ = Doubt::none;
    return;
  }
  const bool is_wide = held_.front().time_s - base_s_ > rule_.limits.step_interval_s;
  if (!is_wide && static_cast<double>(held_.size()) <= rule_.limits.spike_readings) return;
  const bool jumped = (is_bag(rule_) || (is_lone_ && is_lone(step_K_, company))) && is_jump(company);
  doubt_ = jumped ? Doubt::displaced : Doubt::none;
  for (std::size_t i = 0; i + 1 < held_.size(); ++i) // the last one is remembered by take
    if (held_[i].kind == CheckedReading::Kind::credited) remember(held_[i].time_s, held_[i].degC);
  settle(jumped ? CheckedReading::Kind::withheld : CheckedReading::Kind::credited, out);
}

bool StretchChecks::is_jump(const Company& company) const {
  const CheckedReading& now = held_.back();
  // Steam as cold as the bag now is: the pressure fell and the bag boiled itself cool.
  const auto steam_degC = company.hottest_steam_degC();
  if (is_bag(rule_) && step_K_ < 0 && steam_degC &&
      *steam_degC <= now.degC + rule_.limits.stuck_under_steam_K)
    return false;
  const double span_s = std::max(now.time_s - base_s_, rule_.limits.step_shortest_s);
  if (is_bag(rule_) && std::abs(now.degC - base_degC_) >= rule_.limits.bag_steepest_K_per_min * span_s / 60)
    return true;
  if (held_.front().time_s - base_s_ > rule_.limits.step_alone_interval_s) return false;
  double other_K = *std::max_element(steps_before_K_.begin(), steps_before_K_.end());
  for (std::size_t i = 1; i < held_.size(); ++i)
    other_K = std::max(other_K, std::abs(held_[i].degC - held_[i - 1].degC));
  return 3 * other_K <= std::abs(step_K_);
}

void StretchChecks::stand_still(double time_s, double degC, const Company& company, Out& out) {
  if (run_ == 0) {
    run_ = 1;
    run_from_s_ = last_s_;
    run_roughness_K_ = roughness_K_;
    const double over_s = last_s_ - past_s_;
    run_rise_K_ = over_s > 0 ? (last_degC_ - past_degC_) * std::min(1.0, rule_.limits.stuck_s / over_s) : 0;
  }
  ++run_;
  if (run_ == run_seen) {
    run_steam_degC_ = company.hottest_steam_degC();
    run_bags_degC_ = company.bags_degC();
  }
  if (doubt_ == Doubt::stuck) {
    out.push_back({time_s, degC, CheckedReading::Kind::withheld});
    return;
  }
  held_.push_back({time_s, degC, CheckedReading::Kind::credited});
  if (is_stuck(time_s, company)) {
    settle(CheckedReading::Kind::withheld, out);
    doubt_ = Doubt::stuck;
    return;
  }
  const double most = std::max(rule_.limits.stuck_readings, rule_.limits.stuck_noise_readings);
  while (static_cast<double>(held_.size()) > most && time_s - held_.front().time_s > rule_.limits.stuck_s) {
    out.push_back(held_.front());
    run_from_s_ = held_.front().time_s;
    held_.pop_front();
  }
}

bool StretchChecks::is_stuck(double now_s, const Company& company) const {
  const CheckLimits& limits = rule_.limits;
  if (rule_.role == ProbeRole::outside || now_s - run_from_s_ < limits.stuck_s) return false;
  const bool is_noisy = resolution_K_ > 0 && run_roughness_K_ >= limits.stuck_noise_steps * resolution_K_;
  if (is_noisy && run_ >= limits.stuck_noise_readings) return true;
  return run_ >= std::max<double>(limits.stuck_readings, run_seen) && company_moved(company);
}

// Evidence from the others. No bag core stops dead on a slope while steam still heats it or its like go on;
// and none cools in steam that is hotter than it.
bool StretchChecks::company_moved(const Company& company) const {
  const CheckLimits& limits = rule_.limits;
  const auto bags = company.bags_degC();
  if (is_bag(rule_)) {
    if (std::abs(run_rise_K_) < limits.stuck_slope_K) return false;
    const auto steam_degC = company.hottest_steam_degC();
    if (run_rise_K_ > 0 && run_steam_degC_ && steam_degC &&
        std::min(*run_steam_degC_, *steam_degC) >= last_degC_ + limits.stuck_under_steam_K)
      return true;
    const double side = run_rise_K_ > 0 ? 1 : -1;
    for (std::size_t i = 0; i < bags.size() && i < run_bags_degC_.size(); ++i)
      if (bags[i] && run_bags_degC_[i] && side * (*bags[i] - *run_bags_degC_[i]) >= limits.stuck_moved_K &&
          side * (*bags[i] - last_degC_) >= limits.stuck_under_steam_K)
        return true;
    return false;
  }
  if (rule_.role == ProbeRole::unstated) return false;
  for (std::size_t i = 0; i < bags.size() && i < run_bags_degC_.size(); ++i) {
    if (!bags[i] || !run_bags_degC_[i]) continue;
    const double moved_K = *bags[i] - *run_bags_degC_[i];
    if (moved_K <= -limits.stuck_under_steam_K && last_degC_ - *bags[i] >= limits.stuck_moved_K) return true;
  }
  return false;
}

void StretchChecks::finish(Out& out) {
  const double now_s = silent_to_s_;
  if (silent_rows_ > 0) end_silence(now_s, out);
  end_out_of_range();
  end_doubt(out);
}

} // namespace coldbag
