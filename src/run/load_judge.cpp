#include "run/load_judge.h"

#include "errors/our_fault.h"
#include "heatup/fit.h"
#include "heatup/slowest_bag.h"
#include "probes/curve.h"
#include "steam/saturation.h"

#include <tbb/parallel_for.h>

#include <algorithm>
#include <cmath>

namespace coldbag {

namespace {

constexpr double near_K = 2;
constexpr double standard_Pa = 101325;
constexpr double after_arrival_s = 1800; ///< a fit sees so much of the plateau
constexpr std::size_t most_fit_points = 60;
constexpr double sample_s = 60;
constexpr double longest_more_s = 24 * 3600.0;

/// The steam that heated the load.
struct Steam {
  SteamTrace trace;
  double top_degC = 0; ///< of its plateau
  double near_top_at_s = 0;
  double ku_K = 0;
};

double held_to_model(double degC) {
  return std::clamp(degC, -40.0, 200.0);
}

std::optional<Steam> steam_of(const LoadBasis& basis) {
  for (std::size_t i = 0; i < basis.probes.size(); ++i) {
    const Measured& one = basis.probes[i];
    if (one.probe->role != ProbeRole::vessel || !one.is_relied_on || !one.measures.near_top_at_s) continue;
    const Curve curve(*basis.thin[i], Curve::From::credited_alone);
    if (curve.points().size() < 2) continue;
    std::optional<Curve> pressure;
    if (basis.pressure != nullptr) pressure.emplace(*basis.pressure, Curve::From::all_readings);
    const double outside_Pa = basis.input.site_pressure_Pa.value_or(standard_Pa);
    const bool is_gauge = basis.pressure_basis == PressureBasis::gauge;
    std::vector<SteamPoint> points;
    for (const Curve::Point& point : curve.points()) {
      const double degC = held_to_model(point.degC);
      double Pa = std::max(outside_Pa, saturation_pressure_Pa(std::max(degC, 0.01)));
      if (pressure && !pressure->is_empty()) {
        const double logged_Pa = pressure->at(point.time_s) + (is_gauge ? outside_Pa : 0);
        if (logged_Pa > 0.8 * outside_Pa && logged_Pa < 2e6) Pa = logged_Pa;
      }
      points.push_back({point.time_s, degC, std::min(Pa, 2e6)});
    }
    return Steam{SteamTrace(std::move(points)), one.measures.plateau_degC, *one.measures.near_top_at_s,
                 coverage_k * one.probe->u_K};
  }
  return std::nullopt;
}

/// One kind in the load, its described variants, its probes.
struct Kind {
  const Bag* bag = nullptr;
  int count = 0;
  std::vector<DescribedBag> variants; ///< as the load's lines give mass and moisture; the kind's own first
  std::vector<std::size_t> probes;    ///< of the basis
};

double coldest_start_degC(const LoadBasis& basis) {
  double coldest = 1e9;
  for (const Measured& one : basis.probes)
    if (one.probe->role == ProbeRole::bag && one.is_relied_on && one.measures.first_degC)
      coldest = std::min(coldest, *one.measures.first_degC);
  return coldest < 1e9 ? held_to_model(coldest) : 20;
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
  for (double time_s = moments.front().time_s; time_s <= moments.back().time_s; time_s += sample_s) {
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

/// The steam with its plateau drawn out by so much before it was turned off.
SteamTrace drawn_out(const SteamTrace& steam, double at_s, double by_s) {
  if (by_s <= 0) return steam;
  std::vector<SteamPoint> points;
  const SteamPoint turn = steam.at(at_s);
  for (const SteamPoint& p : steam.points())
    if (p.time_s < at_s - 1) points.push_back(p);
  points.push_back(turn);
  SteamPoint later = turn;
  later.time_s += by_s;
  points.push_back(later);
  for (SteamPoint p : steam.points())
    if (p.time_s > at_s + 1) {
      p.time_s += by_s;
      points.push_back(p);
    }
  return SteamTrace(std::move(points));
}

bool asks_one_bag_for_heat(const TreatmentCriterion& criterion) {
  return criterion.sense == Sense::at_least &&
         (criterion.measure == Measure::F || criterion.measure == Measure::hold ||
          criterion.measure == Measure::minutes_at_or_above || criterion.measure == Measure::log_reduction);
}

class KindJudge {
 public:
  KindJudge(const LoadBasis& basis, const Steam& steam, const Kind& kind)
      : basis_(basis), steam_(steam), kind_(kind), tables_(*basis.input.heating) {}

  void learn() {
    heating_.bag = kind_.bag->name;
    heating_.count = kind_.count;
    heating_.probed = static_cast<int>(kind_.probes.size());
    heating_.assumptions = kind_.variants.front().assumptions;
    for (const std::size_t p : kind_.probes)
      if (auto probe = fit_probe(p)) fit_probes_.push_back(std::move(*probe));
    if (fit_probes_.empty()) {
      heating_.not_fitted = "not_fitted_no_probe";
    } else {
      fit_ = fit_bags(fit_probes_, steam_.trace, tables_.vapour, tables_.figures);
      tell_fit();
    }
    heating_.evidence = heating_.not_fitted.empty() && fit_probes_.size() >= 2 ? "fitted" : "model";
    tell_probes();
  }

  [[nodiscard]] std::vector<double> speeds_ln() const {
    std::vector<double> speeds;
    if (heating_.not_fitted.empty())
      for (const FittedProbe& probe : fit_.probes)
        speeds.push_back(probe.speed_ln);
    return speeds;
  }

  /// The slowest bag without a probe, given how much bags differ.
  void judge(const SpeedSpread& spread) {
    const int unprobed = kind_.count - heating_.probed;
    if (unprobed <= 0) return;
    const HeatingFigures& figures = tables_.figures;
    UnknownVector likely{};
    UnknownVector bound{};
    double bound_ln = 0;
    if (const std::vector<double> speeds = speeds_ln(); !speeds.empty()) {
      bound_ln =
          slowest_speed_ln(speeds, unprobed, spread, placed(), figures.bag_spread, figures.bag_spread_weight);
      double mean = 0;
      for (const double speed : speeds)
        mean += speed / static_cast<double>(speeds.size());
      const double likely_ln = std::min(mean - typical_least(unprobed) * spread.sd, mean);
      for (std::size_t u = 0; u < unknown_count; ++u) {
        likely[u] = fit_.ln[u] + likely_ln;
        bound[u] = fit_.ln[u] + bound_ln;
      }
    } else {
      const double least = typical_least(unprobed) * figures.bag_spread;
      bound_ln = -least;
      const std::array<double, unknown_count> sd{figures.prior_conductivity, figures.prior_vapour,
                                                 figures.prior_film};
      for (std::size_t u = 0; u < unknown_count; ++u) {
        likely[u] = -least;
        bound[u] = -least - coverage_k * sd[u];
      }
    }
    UnprobedBag slowest;
    slowest.bag = kind_.bag->name;
    slowest.count = unprobed;
    slowest.speed = std::exp(bound_ln);
    tell_slowest(slowest, likely, bound);
    heating_.slowest = slowest;
  }

  [[nodiscard]] const BagHeating& heating() const { return heating_; }
  [[nodiscard]] const std::vector<CriterionResult>& criteria() const { return criteria_; }

 private:
  [[nodiscard]] Placed placed() const {
    const bool all_cold = std::ranges::all_of(
        kind_.probes, [&](std::size_t p) { return basis_.probes[p].probe->spot == "cold"; });
    return all_cold ? Placed::at_cold_spots : Placed::at_random;
  }

  /// The least of M normals as it mostly is: its median.
  static double typical_least(int unprobed) {
    double low = -1;
    double high = 8;
    const double share = std::pow(0.5, 1.0 / unprobed);
    for (int turn = 0; turn < 60; ++turn) {
      const double middle = (low + high) / 2;
      (std::erfc(-middle / std::sqrt(2.0)) / 2 < share ? low : high) = middle;
    }
    return low;
  }

  [[nodiscard]] std::optional<FitProbe> fit_probe(std::size_t p) const {
    const Measured& one = basis_.probes[p];
    if (!one.measures.near_top_at_s || !one.measures.first_degC) return std::nullopt;
    double end_s = *one.measures.near_top_at_s + after_arrival_s;
    if (basis_.steam_off_at_s) end_s = std::min(end_s, *basis_.steam_off_at_s);
    std::vector<FitPoint> readings;
    const Curve curve(*basis_.thin[p], Curve::From::credited_alone);
    for (const Curve::Point& point : curve.points())
      if (point.time_s >= steam_.trace.from_s() && point.time_s <= std::min(end_s, steam_.trace.to_s()))
        readings.push_back({point.time_s, point.degC, 1});
    return FitProbe{one.probe->name, kind_.variants.front().body, held_to_model(*one.measures.first_degC),
                    one.measures.noise_K, spaced_points(readings, most_fit_points)};
  }

  void tell_fit() {
    switch (fit_.refusal) {
    case FitRefusal::none:
      break;
    case FitRefusal::no_points:
      heating_.not_fitted = "not_fitted_no_points";
      break;
    case FitRefusal::heating_not_seen:
      heating_.not_fitted = "not_fitted_heating_not_seen";
      break;
    case FitRefusal::does_not_fit:
      heating_.not_fitted = "not_fitted_residuals";
      break;
    }
    const Multipliers m = fit_.multipliers();
    heating_.conductivity = m.conductivity;
    heating_.vapour = m.vapour;
    heating_.film = m.film;
    heating_.conductivity_learned = fit_.is_learned[0];
    heating_.vapour_learned = fit_.is_learned[1];
    heating_.film_learned = fit_.is_learned[2];
    heating_.rms_K = fit_.rms_K;
  }

  void tell_probes() {
    for (const std::size_t p : kind_.probes) {
      const Measured& one = basis_.probes[p];
      ProbeHeating told;
      told.probe = one.probe->name;
      if (one.measures.near_top_at_s)
        told.lag_minutes = std::max(0.0, *one.measures.near_top_at_s - steam_.near_top_at_s) / 60;
      const double start_degC = held_to_model(one.measures.first_degC.value_or(20));
      const Expected expected = expected_lag(start_degC);
      told.expected_minutes = expected.likely_minutes;
      told.expected_lower_minutes = expected.good_minutes;
      told.expected_upper_minutes = expected.slow_minutes;
      for (const FittedProbe& fitted : fit_.probes)
        if (fitted.name == told.probe) {
          told.speed = std::exp(fitted.speed_ln);
          told.rms_K = fitted.rms_K;
        }
      told.remark = remark_of(told);
      heating_.probes.push_back(std::move(told));
    }
  }

  /// What would explain a bag out of the range that its mass and moisture foretell.
  static std::string remark_of(const ProbeHeating& probe) {
    if (!probe.lag_minutes || !probe.expected_upper_minutes) return "";
    if (*probe.lag_minutes > *probe.expected_upper_minutes) return "lag_slower_than_described";
    if (*probe.lag_minutes < *probe.expected_lower_minutes) return "lag_faster_than_described";
    return "";
  }

  struct Expected {
    std::optional<double> good_minutes, likely_minutes, slow_minutes; ///< none: over a day
  };

  /// By the tables alone, in this run's steam held on for as long as it takes.
  [[nodiscard]] Expected expected_lag(double start_degC) const {
    const SteamTrace longer =
        drawn_out(steam_.trace, std::clamp(plateau_end_s(), steam_.trace.from_s(), steam_.trace.to_s()),
                  longest_more_s);
    Fit prior;
    const HeatingFigures& f = tables_.figures;
    const std::array<double, unknown_count> sd{f.prior_conductivity, f.prior_vapour, f.prior_film};
    for (std::size_t i = 0; i < unknown_count; ++i)
      for (std::size_t j = 0; j < unknown_count; ++j)
        prior.covariance[i][j] = (i == j ? sd[i] * sd[i] : 0) + f.described_error * f.described_error +
                                 f.bag_spread * f.bag_spread;
    const auto time =
        time_to_within(near_K, kind_.variants.front().body, start_degC, prior, longer, tables_.vapour);
    if (!time) return {};
    const double steam_s = steam_.near_top_at_s - longer.from_s();
    const auto minutes = [&](double s) { return std::max(0.0, s - steam_s) / 60; };
    return {minutes(time->s * std::exp(-coverage_k * time->ln_sd)), minutes(time->s),
            minutes(time->s * std::exp(coverage_k * time->ln_sd))};
  }

  /// Until when the steam stood: stated or seen, else the end of the log.
  [[nodiscard]] double plateau_end_s() const { return basis_.steam_off_at_s.value_or(steam_.trace.to_s()); }

  [[nodiscard]] BagHistory heated(const BagBody& body, const UnknownVector& ln,
                                  const SteamTrace& steam) const {
    return heat_bag(body, multipliers_of(ln), steam, tables_.vapour,
                    {.from_s = steam.from_s(),
                     .to_s = heated_until_s(basis_, body, steam),
                     .start_degC = coldest_start_degC(basis_),
                     .probe_off_m = 0,
                     .fineness = {}});
  }

  [[nodiscard]] Measured as_probe(ProbeMeasures measures) const {
    Measured one;
    one.probe = &unprobed_;
    one.measures = std::move(measures);
    return one;
  }

  void tell_slowest(UnprobedBag& slowest, const UnknownVector& likely, const UnknownVector& bound) {
    unprobed_.name = kind_.bag->name;
    unprobed_.role = ProbeRole::bag;
    const SteamTrace lowered = steam_.trace.moved(-steam_.ku_K);
    const BagBody* worst = nullptr;
    std::optional<Measured> low;
    for (const DescribedBag& variant : kind_.variants) {
      const BagHistory history = heated(variant.body, bound, lowered);
      Measured one = as_probe(measured_core(basis_, history));
      if (low && low->measures.F_minutes <= one.measures.F_minutes) continue;
      low = std::move(one);
      worst = &variant.body;
      const auto reached = core_reaches_s(history, steam_.top_degC - steam_.ku_K - near_K);
      slowest.lag_minutes =
          reached ? std::optional(std::max(0.0, *reached - steam_.near_top_at_s) / 60) : std::nullopt;
    }
    our_check(worst != nullptr && low.has_value(), "a kind has a variant");
    const Measured estimate = as_probe(measured_core(basis_, heated(*worst, likely, steam_.trace)));
    slowest.F_minutes = estimate.measures.F_minutes;
    slowest.F_minutes_lower = std::min(low->measures.F_minutes, slowest.F_minutes);
    const bool strict = basis_.treatment.strict_hold;
    slowest.hold_minutes = hold_minutes(estimate.measures, strict);
    slowest.hold_minutes_lower = std::min(hold_minutes(low->measures, strict), slowest.hold_minutes);
    criteria_ = judged(estimate, *low);
    const bool all_met = std::ranges::all_of(
        criteria_, [](const CriterionResult& c) { return !c.fails || c.status == Status::met; });
    if (!all_met || heating_.evidence != "fitted")
      slowest.more_minutes = more_minutes(*worst, bound, lowered);
  }

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
      result.evidence = heating_.evidence;
      // A bag that nobody measured never makes a FAIL.
      const bool is_met = worst[i].status == Status::met && heating_.evidence != "model";
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
      const SteamTrace steam = drawn_out(lowered, end_s, more_s);
      const BagHistory history = heat_bag(body, multipliers_of(bound), steam, tables_.vapour,
                                          {.from_s = steam.from_s(),
                                           .to_s = heated_until_s(later, body, steam),
                                           .start_degC = coldest_start_degC(basis_),
                                           .probe_off_m = 0,
                                           .fineness = {}});
      return is_enough(basis_.treatment, basis_.input.organisms, as_probe(measured_core(later, history)),
                       basis_.around);
    };
    if (is_enough_with(0)) return 0;
    if (!is_enough_with(longest_more_s)) return std::nullopt;
    double low_s = 0;
    double high_s = longest_more_s;
    while (high_s - low_s > 150) {
      const double middle_s = (low_s + high_s) / 2;
      (is_enough_with(middle_s) ? high_s : low_s) = middle_s;
    }
    constexpr double told_to_s = 300; // durations are told rounded up to five minutes
    return std::ceil(high_s / told_to_s) * told_to_s / 60;
  }

  const LoadBasis& basis_;
  const Steam& steam_;
  const Kind& kind_;
  const HeatingTables& tables_;
  std::vector<FitProbe> fit_probes_;
  Fit fit_;
  BagHeating heating_;
  std::vector<CriterionResult> criteria_;
  RunProbe unprobed_;
};

struct Kinds {
  std::vector<Kind> kinds;
  std::optional<Said> not_judged;
};

Kinds kinds_of(const LoadBasis& basis) {
  Kinds out;
  for (const LoadLine& line : basis.input.load->lines) {
    const auto bag = std::ranges::find(basis.input.bags, line.bag, &Bag::name);
    if (bag == basis.input.bags.end()) {
      out.not_judged = Said{"load_bag_not_described", {{"bag", line.bag}}};
      return out;
    }
    auto kind = std::ranges::find(out.kinds, &*bag, &Kind::bag);
    if (kind == out.kinds.end()) kind = out.kinds.insert(out.kinds.end(), Kind{&*bag, 0, {}, {}});
    kind->count += line.count;
    try {
      kind->variants.push_back(describe_bag(*bag, line.mass_kg, line.moisture_wb, *basis.input.heating));
    } catch (const UserError& error) {
      out.not_judged =
          Said{"load_bag_not_reckoned", {{"bag", line.bag}, {"problem", error.complaints().front().problem}}};
      return out;
    }
  }
  for (std::size_t i = 0; i < basis.probes.size(); ++i) {
    const Measured& one = basis.probes[i];
    if (one.probe->role != ProbeRole::bag || !one.is_relied_on) continue;
    for (Kind& kind : out.kinds)
      if (kind.bag->name == one.probe->bag || (one.probe->bag.empty() && out.kinds.size() == 1))
        kind.probes.push_back(i);
  }
  return out;
}

bool is_worse(const UnprobedBag& a, const UnprobedBag& b, bool by_F) {
  return by_F ? a.F_minutes_lower < b.F_minutes_lower : a.hold_minutes_lower < b.hold_minutes_lower;
}

} // namespace

LoadJudgement judge_load(const LoadBasis& basis) {
  LoadJudgement out;
  const RunInput& input = basis.input;
  if (!input.load || input.load->bag_count() == 0 || !input.heating) {
    out.not_judged = Said{"load_not_described", {}};
    return out;
  }
  Kinds kinds = kinds_of(basis);
  out.not_judged = kinds.not_judged;
  if (out.not_judged) return out;
  const std::optional<Steam> steam = steam_of(basis);
  if (!steam) {
    out.not_judged = Said{"load_no_steam_probe", {}};
    return out;
  }
  std::vector<KindJudge> judges;
  for (const Kind& kind : kinds.kinds)
    judges.emplace_back(basis, *steam, kind);
  // Each kind is one thread's work, so threads change no digit.
  tbb::parallel_for(std::size_t{0}, judges.size(), [&](std::size_t i) { judges[i].learn(); });
  std::vector<std::vector<double>> speeds;
  for (const KindJudge& judge : judges)
    speeds.push_back(judge.speeds_ln());
  const HeatingFigures& figures = input.heating->figures;
  const SpeedSpread spread = pooled_spread(speeds, figures.bag_spread, figures.bag_spread_weight);
  tbb::parallel_for(std::size_t{0}, judges.size(), [&](std::size_t i) { judges[i].judge(spread); });
  const bool by_F = std::ranges::any_of(basis.treatment.criteria, [](const TreatmentCriterion& c) {
    return c.fails && c.measure == Measure::F && c.sense == Sense::at_least;
  });
  const KindJudge* worst = nullptr;
  for (const KindJudge& judge : judges) {
    out.heating.push_back(judge.heating());
    if (!judge.heating().slowest) continue;
    if (worst == nullptr || is_worse(*judge.heating().slowest, *worst->heating().slowest, by_F))
      worst = &judge;
  }
  if (worst != nullptr) {
    out.slowest = worst->heating().slowest;
    out.criteria = worst->criteria();
  }
  // A kind that is better off but known from the tables alone proves nothing either.
  for (const KindJudge& judge : judges)
    for (std::size_t i = 0; i < judge.criteria().size(); ++i)
      if (judge.criteria()[i].status != Status::met && out.criteria[i].status == Status::met)
        out.criteria[i] = judge.criteria()[i];
  return out;
}

} // namespace coldbag
