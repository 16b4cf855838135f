#include "run/criteria.h"

#include "errors/our_fault.h"
#include "run/decades.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace coldbag {

namespace {

constexpr double by_hand_time_s = 300; // a hand-written time is good to five minutes (assumed)

bool needs_level(const TreatmentCriterion& criterion) {
  return criterion.measure == Measure::minutes_at_or_above || criterion.measure == Measure::over_boiling;
}

std::vector<Reference> references_of(const TreatmentCriterion& criterion,
                                     const std::vector<Organism>& organisms) {
  if (criterion.measure == Measure::F && criterion.reference) return {*criterion.reference};
  if (criterion.measure != Measure::log_reduction) return {};
  const Organism* organism = find_organism(organisms, criterion.organism);
  our_check(organism != nullptr, "a treatment's organism was looked up when the run was opened");
  return references_of(*organism);
}

struct Delivered {
  double estimate = 0;
  double lower = 0;
  double upper = 0;
  double possible = 0; ///< if all that was withheld counted at the higher reading
};

std::string unit_of(Measure measure) {
  switch (measure) {
  case Measure::top:
    return "degC";
  case Measure::over_boiling:
  case Measure::under_saturation:
    return "K";
  case Measure::moisture:
    return "fraction";
  case Measure::log_reduction:
    return "decades";
  default:
    return "minutes";
  }
}

// What the longest stretches of all bags have in common: never more than the time all were hot at once.
Delivered hot_together(const std::vector<const Measured*>& bags, bool strict) {
  Stretch estimate{-1e18, 1e18};
  Stretch lower = estimate;
  bool by_hand = false;
  const auto narrow = [](Stretch& common, const Stretch& own) {
    common = {std::max(common.from_s, own.from_s), std::min(common.to_s, own.to_s),
              common.withheld_s + own.withheld_s};
  };
  for (const Measured* bag : bags) {
    narrow(estimate, strict ? bag->measures.strict_hold : bag->measures.hold);
    narrow(lower, strict ? bag->measures.strict_lower : bag->measures.hold_lower);
    by_hand = by_hand || bag->by_hand;
  }
  const double lower_s = lower.length_s() - (by_hand ? 2 * by_hand_time_s : 0);
  return {std::max(0.0, estimate.length_s()) / 60, std::max(0.0, lower_s) / 60, 0, 0};
}

class CriterionJudge {
 public:
  CriterionJudge(const Treatment& treatment, const std::vector<Organism>& organisms,
                 const std::vector<Measured>& probes, const Surroundings& around)
      : treatment_(treatment), organisms_(organisms), probes_(probes), around_(around) {}

  [[nodiscard]] CriterionResult judge(const TreatmentCriterion& criterion) const {
    CriterionResult result;
    result.name = criterion.name;
    result.unit = unit_of(criterion.measure);
    result.required = criterion.required;
    result.required_to = criterion.required_to;
    result.sense = criterion.sense;
    result.fails = criterion.fails;
    result.basis = criterion.basis;
    result.source = criterion.source;
    if (is_for_heavier(criterion)) {
      result.required = criterion.heavier->required;
      result.basis = criterion.heavier->basis;
    }
    result.too_much = criterion.sense != Sense::at_least;
    switch (criterion.measure) {
    case Measure::moisture:
      judge_moisture(result);
      break;
    case Measure::over_boiling:
      judge_over_boiling(criterion, result);
      break;
    case Measure::under_saturation:
      judge_saturation(criterion, result);
      break;
    default:
      if (result.too_much)
        judge_too_much(criterion, result);
      else
        judge_too_little(criterion, result);
    }
    if (result.status == Status::met && !may_claim(criterion)) result.status = Status::unproven;
    return result;
  }

  // Whether what a bag's probe showed meets every requirement of heat at its bound.
  [[nodiscard]] bool is_enough(const Measured& one) const {
    return std::all_of(
        treatment_.criteria.begin(), treatment_.criteria.end(), [&](const TreatmentCriterion& criterion) {
          return !criterion.fails || !asks_for_heat(criterion) ||
                 delivered(criterion, one).lower >=
                     (is_for_heavier(criterion) ? criterion.heavier->required : criterion.required);
        });
  }

  // Whether a bag misses a requirement of heat, whatever its gaps hid.
  [[nodiscard]] bool is_short(const Measured& one) const {
    if (one.probe->role != ProbeRole::bag || !one.is_relied_on || !one.measures.top_degC) return false;
    if (one.measures.faulty_to_the_end) return false;
    return std::any_of(
        treatment_.criteria.begin(), treatment_.criteria.end(), [&](const TreatmentCriterion& criterion) {
          return criterion.fails && asks_for_heat(criterion) &&
                 delivered(criterion, one).possible <
                     (is_for_heavier(criterion) ? criterion.heavier->required : criterion.required);
        });
  }

 private:
  [[nodiscard]] bool is_for_heavier(const TreatmentCriterion& criterion) const {
    return criterion.heavier && around_.heaviest_bag_kg &&
           *around_.heaviest_bag_kg > criterion.heavier->than_kg;
  }

  static bool asks_for_heat(const TreatmentCriterion& criterion) {
    return criterion.sense == Sense::at_least && criterion.measure != Measure::moisture;
  }

  // Moist-heat figures are claimed for substrate known to be moist, and no further than 10 K from where they
  // were measured.
  [[nodiscard]] bool may_claim(const TreatmentCriterion& criterion) const {
    if (criterion.measure != Measure::log_reduction) return true;
    const Organism* organism = find_organism(organisms_, criterion.organism);
    if (!around_.moisture_wb || *around_.moisture_wb < organism->lowest_moisture_wb.value_or(0)) return false;
    return std::none_of(probes_.begin(), probes_.end(), [&](const Measured& one) {
      return one.probe->role == ProbeRole::bag && is_beyond_range(*organism, one.measures);
    });
  }

  [[nodiscard]] Delivered delivered(const TreatmentCriterion& criterion, const Measured& measured) const {
    const ProbeMeasures& m = measured.measures;
    switch (criterion.measure) {
    case Measure::F: {
      if (criterion.reference) {
        const std::size_t i = index_of_reference(treatment_, organisms_, criterion);
        const double noise = noise_factor(m.noise_K, criterion.reference->z_K);
        return {m.more_minutes[i], m.more_lower_minutes[i] / noise, m.more_upper_minutes[i] / noise,
                m.more_possible_minutes[i]};
      }
      const double z_K = treatment_.reference.z_K;
      return {m.F_minutes, F_lower_minutes(m, z_K), m.F_upper_minutes / noise_factor(m.noise_K, z_K),
              m.F_possible_minutes};
    }
    case Measure::log_reduction: {
      const Organism* organism = find_organism(organisms_, criterion.organism);
      our_check(organism != nullptr, "a treatment's organism was looked up when the run was opened");
      const Decades d = decades_of(*organism, m, index_of_reference(treatment_, organisms_, criterion));
      return {d.estimate, d.lower, d.upper, d.possible};
    }
    case Measure::minutes_at_or_above: {
      const std::size_t i = index_of_level(treatment_, criterion);
      const double by_hand_s = measured.by_hand ? 2 * by_hand_time_s : 0;
      return {m.level_s[i] / 60, std::max(0.0, m.level_lower_s[i] - by_hand_s) / 60, m.level_upper_s[i] / 60,
              (m.level_s[i] + m.not_credited_s) / 60};
    }
    case Measure::top: {
      const double top_degC = m.top_degC.value_or(-273.15);
      return {top_degC, top_degC - measured.probe->u_K * coverage_k,
              top_degC + measured.probe->u_K * coverage_k, top_degC};
    }
    default: {
      const double possible =
          treatment_.strict_hold ? std::max(m.hold_possible_s, m.strict_hold.length_s()) : m.hold_possible_s;
      return {hold_minutes(m, treatment_.strict_hold), hold_lower_minutes(measured, treatment_.strict_hold),
              hold_minutes(m, treatment_.strict_hold), possible / 60};
    }
    }
  }

  std::vector<const Measured*> of(bool (*wanted)(const RunProbe&)) const {
    std::vector<const Measured*> found;
    for (const Measured& measured : probes_)
      if (measured.is_relied_on && measured.measures.top_degC && wanted(*measured.probe))
        found.push_back(&measured);
    return found;
  }

  // A bag whose probe gave no reading was not measured: it may be the coldest.
  [[nodiscard]] bool any_silent_bag() const {
    return std::any_of(probes_.begin(), probes_.end(), [](const Measured& one) {
      return one.probe->role == ProbeRole::bag && one.is_relied_on && !one.measures.top_degC;
    });
  }

  // By a fault; what a person left out stays out.
  [[nodiscard]] bool any_set_aside(bool (*wanted)(ProbeRole)) const {
    return std::any_of(probes_.begin(), probes_.end(), [&](const Measured& one) {
      return wanted(one.probe->role) && !one.is_relied_on && !one.probe->left_out;
    });
  }

  // Readings that were not believed were hotter than all that were: they may have been true.
  [[nodiscard]] bool any_hotter_withheld(bool (*wanted)(ProbeRole)) const {
    return std::any_of(probes_.begin(), probes_.end(), [&](const Measured& one) {
      const ProbeMeasures& m = one.measures;
      return wanted(one.probe->role) && m.withheld_top_degC &&
             *m.withheld_top_degC > m.top_degC.value_or(-273.15);
    });
  }

  static void show(CriterionResult& result, const Measured& at, const Delivered& d, bool upper) {
    result.delivered = d.estimate;
    result.bound = upper ? d.upper : d.lower;
    result.bound_side = upper ? "upper" : "lower";
    result.decided_by = at.probe->name;
  }

  void judge_too_little(const TreatmentCriterion& criterion, CriterionResult& result) const {
    const auto bags = of([](const RunProbe& p) { return p.role == ProbeRole::bag; });
    if (bags.empty()) return judge_too_little_at_steam(criterion, result);
    const Measured* worst_missed = nullptr;
    const Measured* worst = nullptr;
    Delivered worst_missed_d;
    Delivered worst_d;
    for (const Measured* bag : bags) {
      Delivered d = delivered(criterion, *bag);
      if (bag->measures.faulty_to_the_end) d.possible = std::numeric_limits<double>::infinity();
      if (d.possible < result.required && (worst_missed == nullptr || d.possible < worst_missed_d.possible)) {
        worst_missed = bag;
        worst_missed_d = d;
      }
      if (worst == nullptr || d.lower < worst_d.lower ||
          (d.lower == worst_d.lower && d.estimate < worst_d.estimate)) {
        worst = bag;
        worst_d = d;
      }
    }
    if (worst_missed != nullptr) {
      show(result, *worst_missed, worst_missed_d, false);
      result.status = Status::missed;
      return;
    }
    if (criterion.measure == Measure::all_hot) worst_d = hot_together(bags, treatment_.strict_hold);
    our_check(worst != nullptr, "of bags that are there, one had least");
    show(result, *worst, worst_d, false);
    const bool is_met = worst_d.lower >= result.required && !any_silent_bag();
    result.status = is_met ? Status::met : Status::unproven;
  }

  // No bag was probed, or nobody said so: a bag is at most as hot as the hottest steam, so only a miss can be
  // told.
  void judge_too_little_at_steam(const TreatmentCriterion& criterion, CriterionResult& result) const {
    const Measured* best = nullptr;
    Delivered best_d;
    for (const Measured* steam : of([](const RunProbe& p) { return is_steam_space(p.role); })) {
      Delivered d = delivered(criterion, *steam);
      if (steam->measures.faulty_to_the_end) d.possible = std::numeric_limits<double>::infinity();
      if (best == nullptr || d.possible > best_d.possible) {
        best = steam;
        best_d = d;
      }
    }
    if (best == nullptr) return;
    show(result, *best, best_d, false);
    const bool is_missed = best_d.possible < result.required && !any_set_aside(is_steam_space);
    result.status = is_missed ? Status::missed : Status::unproven;
  }

  static bool keeps_under(double value, const CriterionResult& result) {
    return result.sense == Sense::below ? value < result.required : value <= result.required;
  }

  // What happened in a silence near the setpoint nobody saw.
  static bool stayed_under(const std::pair<const Measured*, Delivered>& hottest,
                           const CriterionResult& result) {
    return keeps_under(hottest.second.upper, result) && hottest.first->measures.unwatched_s == 0;
  }

  void judge_too_much(const TreatmentCriterion& criterion, CriterionResult& result) const {
    const auto hottest = [&](const std::vector<const Measured*>& among) {
      std::pair<const Measured*, Delivered> best{nullptr, {}};
      for (const Measured* one : among) {
        const Delivered d = delivered(criterion, *one);
        if (best.first == nullptr || d.upper > best.second.upper) best = {one, d};
      }
      return best;
    };
    const auto bags = hottest(of([](const RunProbe& p) { return p.role == ProbeRole::bag; }));
    const auto hot_end =
        hottest(of([](const RunProbe& p) { return p.role == ProbeRole::bag && p.spot == "hot"; }));
    const auto steam = hottest(of([](const RunProbe& p) { return is_steam_space(p.role); }));
    const bool bag_is_over = bags.first != nullptr && !keeps_under(bags.second.estimate, result);
    if (bag_is_over) {
      show(result, *bags.first, bags.second, true);
      result.status = Status::missed;
    } else if (hot_end.first != nullptr) {
      const auto is_bag = [](ProbeRole role) { return role == ProbeRole::bag; };
      our_check(bags.first != nullptr, "a bag at the hot end is a bag");
      show(result, *bags.first, bags.second, true);
      const bool is_met = stayed_under(bags, result) && !any_hotter_withheld(is_bag);
      result.status = is_met ? Status::met : Status::unproven;
    } else if (steam.first != nullptr) {
      show(result, *steam.first, steam.second, true);
      const bool is_met = stayed_under(steam, result) && !any_set_aside(is_steam_space) &&
                          !any_hotter_withheld(is_steam_space);
      result.status = is_met ? Status::met : Status::unproven;
    } else if (bags.first != nullptr) {
      show(result, *bags.first, bags.second, true);
    }
  }

  // A danger is told on the best estimate: every probe but those outside counts, a doubtful one too;
  // uncertainty never delays it.
  void judge_over_boiling(const TreatmentCriterion& criterion, CriterionResult& result) const {
    if (!around_.boiling_degC) return;
    const std::size_t i = index_of_level(treatment_, criterion);
    result.status = Status::met;
    result.bound_side = "upper";
    for (const Measured& one : probes_) {
      const bool is_inside = one.probe->role == ProbeRole::bag || is_steam_space(one.probe->role);
      if (!is_inside || one.probe->left_out || !one.measures.top_degC) continue;
      const double excess_K = *one.measures.top_degC - *around_.boiling_degC;
      if (!result.delivered || excess_K > *result.delivered) {
        result.delivered = excess_K;
        result.bound = excess_K;
        result.decided_by = one.probe->name;
      }
      if (one.measures.level_longest_s[i] >= criterion.for_s.value_or(0) && excess_K > result.required)
        result.status = Status::missed;
    }
  }

  void judge_saturation(const TreatmentCriterion& criterion, CriterionResult& result) const {
    std::size_t i = 0;
    for (const TreatmentCriterion& other : treatment_.criteria) {
      if (&other == &criterion) break;
      if (other.measure == Measure::under_saturation) ++i;
    }
    if (!around_.short_of_saturation_K || i >= around_.short_of_saturation_s.size()) return;
    result.delivered = around_.short_of_saturation_K;
    result.bound = result.delivered;
    result.bound_side = "upper";
    const bool held = around_.short_of_saturation_s[i] >= criterion.for_s.value_or(0);
    result.status = held && *result.delivered > result.required ? Status::missed : Status::met;
  }

  void judge_moisture(CriterionResult& result) const {
    if (!around_.moisture_wb) return;
    result.delivered = around_.moisture_wb;
    result.too_much = *around_.moisture_wb > result.required_to.value_or(1);
    const bool inside = *around_.moisture_wb >= result.required && !result.too_much;
    result.status = inside ? Status::met : Status::missed;
  }

  const Treatment& treatment_;
  const std::vector<Organism>& organisms_;
  const std::vector<Measured>& probes_;
  const Surroundings& around_;
};

} // namespace

bool decides_by_F(const Treatment& treatment) {
  return std::ranges::any_of(treatment.criteria, [](const TreatmentCriterion& c) {
    return c.fails && c.measure == Measure::F && c.sense == Sense::at_least;
  });
}

std::size_t index_of_level(const Treatment& treatment, const TreatmentCriterion& wanted) {
  std::size_t index = 0;
  for (const TreatmentCriterion& criterion : treatment.criteria) {
    if (&criterion == &wanted) return index;
    if (needs_level(criterion)) ++index;
  }
  return index;
}

std::size_t index_of_reference(const Treatment& treatment, const std::vector<Organism>& organisms,
                               const TreatmentCriterion& wanted) {
  std::size_t index = 0;
  for (const TreatmentCriterion& criterion : treatment.criteria) {
    if (&criterion == &wanted) return index;
    index += references_of(criterion, organisms).size();
  }
  return index;
}

double noise_factor(double noise_K, double z_K) {
  const double a = noise_K * std::log(10.0) / z_K;
  return std::exp(a * a / 2);
}

double F_at_step_minutes(const ProbeMeasures& measures, int step, double z_K) {
  return measures.F_step_minutes[static_cast<std::size_t>(step)] / noise_factor(measures.noise_K, z_K);
}

double F_lower_minutes(const ProbeMeasures& measures, double z_K) {
  return F_at_step_minutes(measures, bound_steps, z_K);
}

double hold_minutes(const ProbeMeasures& measures, bool strict) {
  return (strict ? measures.strict_hold : measures.hold).length_s() / 60;
}

double hold_at_step_minutes(const Measured& measured, int step, bool strict) {
  const double bound_s = (strict ? measured.measures.strict_step_s
                                 : measured.measures.hold_step_s)[static_cast<std::size_t>(step)];
  return std::max(0.0, bound_s - (measured.by_hand ? 2 * by_hand_time_s : 0)) / 60;
}

std::optional<double> all_hot_minutes(const Treatment& treatment, const std::vector<Measured>& probes) {
  std::vector<const Measured*> bags;
  for (const Measured& one : probes) {
    if (one.probe->role != ProbeRole::bag || !one.is_relied_on) continue;
    if (!one.measures.top_degC) return std::nullopt;
    bags.push_back(&one);
  }
  if (bags.empty()) return std::nullopt;
  return hot_together(bags, treatment.strict_hold).estimate;
}

double hold_lower_minutes(const Measured& measured, bool strict) {
  return hold_at_step_minutes(measured, bound_steps, strict);
}

double setpoint_degC(const Treatment& treatment, std::optional<double> boiling_degC) {
  if (!treatment.setpoint_under_boiling_K || !boiling_degC) return treatment.setpoint_degC;
  return std::min(treatment.setpoint_degC, *boiling_degC - *treatment.setpoint_under_boiling_K);
}

std::vector<Reference> references_of(const Treatment& treatment, const std::vector<Organism>& organisms) {
  std::vector<Reference> references;
  for (const TreatmentCriterion& criterion : treatment.criteria)
    for (Reference& reference : references_of(criterion, organisms))
      references.push_back(std::move(reference));
  return references;
}

std::vector<double> levels_of(const Treatment& treatment, std::optional<double> boiling_degC) {
  std::vector<double> levels;
  for (const TreatmentCriterion& criterion : treatment.criteria) {
    if (criterion.measure == Measure::minutes_at_or_above)
      levels.push_back(criterion.level_degC.value_or(treatment.setpoint_degC));
    if (criterion.measure == Measure::over_boiling)
      levels.push_back(boiling_degC.value_or(1e4) + criterion.required);
  }
  return levels;
}

std::vector<const Measured*> bags_short(const Treatment& treatment, const std::vector<Organism>& organisms,
                                        const std::vector<Measured>& probes, const Surroundings& around) {
  const CriterionJudge judge(treatment, organisms, probes, around);
  std::vector<const Measured*> found;
  for (const Measured& one : probes)
    if (judge.is_short(one)) found.push_back(&one);
  return found;
}

bool is_enough(const Treatment& treatment, const std::vector<Organism>& organisms, const Measured& bag,
               const Surroundings& around) {
  const std::vector<Measured> alone = {bag};
  return CriterionJudge(treatment, organisms, alone, around).is_enough(bag);
}

std::vector<CriterionResult> judge_criteria(const Treatment& treatment,
                                            const std::vector<Organism>& organisms,
                                            const std::vector<Measured>& probes, const Surroundings& around) {
  const CriterionJudge judge(treatment, organisms, probes, around);
  std::vector<CriterionResult> results;
  for (const TreatmentCriterion& criterion : treatment.criteria)
    results.push_back(judge.judge(criterion));
  return results;
}

} // namespace coldbag
