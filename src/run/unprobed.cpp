#include "run/unprobed.h"

#include "errors/our_fault.h"
#include "run/curves.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numeric>
#include <utility>

namespace coldbag {

namespace {

constexpr double sample_s = 60;
constexpr double longest_more_s = 24 * 3600.0;
constexpr double first_more_s = 3600; ///< tried first: mostly it is not much

/// The coldest of the probed bags when the steam came: the others were no colder, as far as is known.
double coldest_start_degC(const LoadBasis& basis) {
  double coldest = std::numeric_limits<double>::infinity();
  for (const Measured& one : basis.probes)
    if (one.probe->role == ProbeRole::bag && one.is_relied_on && one.measures.first_degC)
      coldest = std::min(coldest, *one.measures.first_degC);
  return std::isfinite(coldest) ? held_to_model_degC(coldest) : basis.input.heating->figures.start_degC;
}

/// Core of a bag reckoned for the run, as its probe would have told it.
ProbeMeasures measured_core(const LoadBasis& basis, const BagHistory& history) {
  ProbeMeterRule rule = basis.rule;
  rule.ku_K = 0; // what is not known of the steam and the bag is in the trace already
  rule.interval_s = sample_s;
  rule.keeps_time_at_temperature = false;
  rule.elsewhere_from_s = std::numeric_limits<double>::infinity();
  ProbeMeter meter(rule);
  std::size_t at = 0;
  const std::vector<BagMoment>& moments = history.moments;
  const auto samples =
      static_cast<std::size_t>((moments.back().time_s - moments.front().time_s) / sample_s + 1e-9);
  for (std::size_t sample = 0; sample <= samples; ++sample) {
    const double time_s = moments.front().time_s + sample_s * static_cast<double>(sample);
    while (at + 2 < moments.size() && moments[at + 1].time_s < time_s)
      ++at;
    const BagMoment& a = moments[at];
    const BagMoment& b = moments[at + 1];
    meter.take(time_s,
               a.core_degC + (b.core_degC - a.core_degC) * (time_s - a.time_s) / (b.time_s - a.time_s));
  }
  return meter.measures();
}

/// A sealed bag's credit after the pressure falls is not claimed: its heating ends with the steam.
double heated_until_s(const LoadBasis& basis, const BagBody& body, const SteamTrace& steam) {
  if (body.is_breathing || !basis.steam_off_at_s) return steam.to_s();
  return std::clamp(*basis.steam_off_at_s, steam.from_s() + sample_s, steam.to_s());
}
bool asks_one_bag_for_heat(const TreatmentCriterion& criterion) {
  return criterion.sense == Sense::at_least &&
         (criterion.measure == Measure::F || criterion.measure == Measure::hold ||
          criterion.measure == Measure::minutes_at_or_above || criterion.measure == Measure::log_reduction);
}

/// The least of M normals as it mostly is: its median, in standard deviations below the mean.
double typical_least(int unprobed) {
  double low = -1;
  double high = 8;
  const double share = std::pow(0.5, 1.0 / unprobed);
  for (int turn = 0; turn < 60; ++turn) {
    const double middle = (low + high) / 2;
    (std::erfc(-middle / std::sqrt(2.0)) / 2 < share ? low : high) = middle;
  }
  return low;
}

/// Multipliers of the slowest bag: as it most likely is, and at its bound.
struct Slowest {
  UnknownVector likely{};
  UnknownVector bound{};
  double bound_ln = 0; ///< of its speed beside its kind
};

class UnprobedJudge {
 public:
  UnprobedJudge(const LoadBasis& basis, const LoadSteam& steam, const LoadKind& kind,
                const KindHeating& heating, const Spreads& spreads)
      : basis_(basis), steam_(steam), kind_(kind), heating_(heating), spreads_(spreads),
        tables_(*basis.input.heating), unprobed_count_(kind.count - heating.told.probed) {
    unprobed_.name = kind.bag->name;
    unprobed_.role = ProbeRole::bag;
  }

  [[nodiscard]] UnprobedJudgement judge() const {
    const Slowest slowest = slowest_multipliers();
    UnprobedJudgement out;
    out.bag.bag = kind_.bag->name;
    out.bag.count = unprobed_count_;
    out.bag.speed = std::exp(slowest.bound_ln);
    tell(out, slowest);
    return out;
  }

 private:
  [[nodiscard]] Slowest slowest_multipliers() const {
    const double least = typical_least(unprobed_count_);
    if (heating_.told.evidence == "pattern") {
      const SpeedSpread& before = spreads_.before;
      const double bound_ln =
          -slowest_factor(heating_.learned->bags, unprobed_count_, before.freedom) * before.sd;
      const UnknownVector& ln = heating_.learned->prior.ln;
      return {with_speed(ln, -least * before.sd), with_speed(ln, bound_ln), bound_ln};
    }
    if (!heating_.speeds_ln.empty()) return slowest_of_fitted(least);
    // No probe in this kind: every multiplier at its own slow end.
    const FitPrior& prior = heating_.prior;
    const double sd = spreads_.before.sd;
    Slowest out{with_speed(prior.ln, -least * sd), with_speed(prior.ln, -least * sd), -least * sd};
    for (std::size_t u = 0; u < unknown_count; ++u)
      out.bound[u] -= coverage_k * std::sqrt(prior.covariance[u][u]);
    return out;
  }

  [[nodiscard]] Slowest slowest_of_fitted(double least) const {
    const std::vector<double>& speeds = heating_.speeds_ln;
    const double bound_ln = slowest_speed_ln(speeds, unprobed_count_, spreads_.with_run, placed(),
                                             spreads_.before.sd, spreads_.before.freedom);
    const double mean =
        std::accumulate(speeds.begin(), speeds.end(), 0.0) / static_cast<double>(speeds.size());
    const double likely_ln = std::min(mean - least * spreads_.with_run.sd, mean);
    return {with_speed(heating_.fit.ln, likely_ln), with_speed(heating_.fit.ln, bound_ln), bound_ln};
  }

  [[nodiscard]] Placed placed() const {
    const bool all_cold = std::ranges::all_of(
        kind_.probes, [&](std::size_t p) { return basis_.probes[p].probe->spot == "cold"; });
    return all_cold ? Placed::at_cold_spots : Placed::at_random;
  }

  /// Until when the steam stood: stated or seen, else the end of the log.
  [[nodiscard]] double plateau_end_s() const { return basis_.steam_off_at_s.value_or(steam_.trace.to_s()); }

  [[nodiscard]] BagHistory heated(const LoadBasis& basis, const BagBody& body, const UnknownVector& ln,
                                  const SteamTrace& steam) const {
    return heat_bag(body, multipliers_of(ln), steam, tables_.vapour,
                    {.from_s = steam.from_s(),
                     .to_s = heated_until_s(basis, body, steam),
                     .start_degC = coldest_start_degC(basis),
                     .probe_off_m = 0,
                     .fineness = {}});
  }

  [[nodiscard]] Measured as_probe(ProbeMeasures measures) const {
    Measured one;
    one.probe = &unprobed_;
    one.measures = std::move(measures);
    return one;
  }

  void tell(UnprobedJudgement& out, const Slowest& multipliers) const {
    UnprobedBag& slowest = out.bag;
    const SteamTrace lowered = steam_.trace.moved(-steam_.ku_K);
    const BagBody* worst = nullptr;
    std::optional<Measured> low;
    BagHistory lowest;
    for (const DescribedBag& variant : kind_.variants) {
      BagHistory history = heated(basis_, variant.body, multipliers.bound, lowered);
      Measured one = as_probe(measured_core(basis_, history));
      if (low && low->measures.F_minutes <= one.measures.F_minutes) continue;
      low = std::move(one);
      worst = &variant.body;
      const auto reached = core_reaches_s(history, steam_.top_degC - steam_.ku_K - near_top_K);
      slowest.lag_minutes =
          reached ? std::optional(std::max(0.0, *reached - steam_.near_top_at_s) / 60) : std::nullopt;
      lowest = std::move(history);
    }
    our_check(worst != nullptr && low.has_value(), "a kind has a variant");
    const BagHistory likely = heated(basis_, *worst, multipliers.likely, steam_.trace);
    const Measured estimate = as_probe(measured_core(basis_, likely));
    out.curve = slowest_curve(kind_.bag->name, likely, lowest);
    slowest.F_minutes = estimate.measures.F_minutes;
    slowest.F_minutes_lower = std::min(low->measures.F_minutes, slowest.F_minutes);
    const bool strict = basis_.treatment.strict_hold;
    slowest.hold_minutes = hold_minutes(estimate.measures, strict);
    slowest.hold_minutes_lower = std::min(hold_minutes(low->measures, strict), slowest.hold_minutes);
    out.criteria = judged(estimate, *low);
    const bool all_met = std::ranges::all_of(
        out.criteria, [](const CriterionResult& c) { return !c.fails || c.status == Status::met; });
    if (!all_met || is_model_alone()) slowest.more_minutes = more_minutes(*worst, multipliers.bound, lowered);
  }

  [[nodiscard]] bool is_model_alone() const { return heating_.told.evidence == "model"; }

  [[nodiscard]] std::vector<CriterionResult> judged(const Measured& estimate, const Measured& low) const {
    std::vector<CriterionResult> out;
    const auto judge = [&](const Measured& one) {
      return judge_criteria(basis_.treatment, basis_.input.organisms, {one}, basis_.around);
    };
    const std::vector<CriterionResult> best = judge(estimate);
    const std::vector<CriterionResult> worst = judge(low);
    for (std::size_t i = 0; i < basis_.treatment.criteria.size(); ++i) {
      if (!asks_one_bag_for_heat(basis_.treatment.criteria[i])) continue;
      CriterionResult result = best[i];
      result.bound = worst[i].bound;
      result.bound_side = "lower";
      result.evidence = heating_.told.evidence;
      const bool is_met = worst[i].status == Status::met && !is_model_alone();
      result.status = is_met ? Status::met : Status::unproven;
      out.push_back(std::move(result));
    }
    return out;
  }

  /// How much longer the same steam would have had to stand for the bound to meet every requirement.
  [[nodiscard]] std::optional<double> more_minutes(const BagBody& body, const UnknownVector& bound,
                                                   const SteamTrace& lowered) const {
    const double end_s = std::clamp(plateau_end_s(), lowered.from_s(), lowered.to_s());
    const auto is_enough_with = [&](double more_s) {
      LoadBasis later = basis_;
      later.rule.credit_ends_at_s += more_s;
      if (later.rule.steam_off_at_s) *later.rule.steam_off_at_s += more_s;
      if (later.steam_off_at_s) *later.steam_off_at_s += more_s;
      const BagHistory history = heated(later, body, bound, drawn_out(lowered, end_s, more_s));
      return is_enough(basis_.treatment, basis_.input.organisms, as_probe(measured_core(later, history)),
                       basis_.around);
    };
    if (is_enough_with(0)) return 0;
    double low_s = 0;
    double high_s = first_more_s;
    while (!is_enough_with(high_s)) {
      if (high_s >= longest_more_s) return std::nullopt;
      low_s = high_s;
      high_s = std::min(2 * high_s, longest_more_s);
    }
    while (high_s - low_s > told_to_s / 2) {
      const double middle_s = (low_s + high_s) / 2;
      (is_enough_with(middle_s) ? high_s : low_s) = middle_s;
    }
    return std::ceil(high_s / told_to_s) * told_to_s / 60;
  }

  static constexpr double told_to_s = 300; // durations are told rounded up to five minutes
  const LoadBasis& basis_;
  const LoadSteam& steam_;
  const LoadKind& kind_;
  const KindHeating& heating_;
  const Spreads& spreads_;
  const HeatingTables& tables_;
  int unprobed_count_;
  RunProbe unprobed_;
};

} // namespace

std::optional<UnprobedJudgement> judge_unprobed(const LoadBasis& basis, const LoadSteam& steam,
                                                const LoadKind& kind, const KindHeating& heating,
                                                const Spreads& spreads) {
  if (kind.count <= heating.told.probed) return std::nullopt;
  return UnprobedJudge(basis, steam, kind, heating, spreads).judge();
}

} // namespace coldbag
