#include "run/kind_heating.h"

#include "errors/our_fault.h"
#include "heatup/explain.h"
#include "probes/curve.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>
#include <utility>

namespace coldbag {

namespace {

constexpr double after_arrival_s = 1800; ///< a fit sees so much of the plateau
constexpr std::size_t most_fit_points = 60;
constexpr double longest_lag_s = 24 * 3600.0;
constexpr double like_start_K = 1; ///< starts so near are reckoned as one

std::string reason(FitRefusal refusal) {
  switch (refusal) {
  case FitRefusal::none:
    return "";
  case FitRefusal::no_points:
    return "not_fitted_no_points";
  case FitRefusal::heating_not_seen:
    return "not_fitted_heating_not_seen";
  case FitRefusal::does_not_fit:
    return "not_fitted_residuals";
  }
  return "";
}

class KindTeller {
 public:
  KindTeller(const LoadBasis& basis, const LoadSteam& steam, const LoadKind& kind, const SpeedSpread& spread)
      : basis_(basis), steam_(steam), kind_(kind), spread_(spread), tables_(*basis.input.heating),
        longer_(drawn_out(steam.trace,
                          std::clamp(basis.steam_off_at_s.value_or(steam.trace.to_s()), steam.trace.from_s(),
                                     steam.trace.to_s()),
                          longest_lag_s)) {}

  KindHeating tell() {
    tell_description();
    find_prior();
    fit();
    for (const std::size_t p : kind_.probes)
      told().probes.push_back(probe_heating(p));
    told().evidence = evidence();
    return std::move(out_);
  }

 private:
  BagHeating& told() { return out_.told; }
  [[nodiscard]] const BagBody& body() const { return kind_.variants.front().body; }
  [[nodiscard]] bool is_fitted() const { return out_.told.not_fitted.empty(); }

  void tell_description() {
    const DescribedBag& described = kind_.variants.front();
    told().bag = kind_.bag->name;
    told().count = kind_.count;
    told().probed = static_cast<int>(kind_.probes.size());
    told().described = described.description;
    told().mass_kg = described.body.mass_kg;
    told().moisture_wb = described.packing.moisture_wb;
    told().assumptions = described.assumptions;
  }

  void find_prior() {
    out_.prior = prior_of_tables(tables_.figures);
    if (!basis_.input.learned) return;
    out_.learned = find_learned(*basis_.input.learned, told().bag, told().described);
    if (out_.learned == nullptr) return;
    out_.prior = out_.learned->prior;
    told().earlier_runs = out_.learned->runs;
    told().earlier_bags = out_.learned->bags;
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
    return FitProbe{one.probe->name, body(), held_to_model_degC(*one.measures.first_degC),
                    one.measures.noise_K, spaced_points(readings, most_fit_points)};
  }

  void fit() {
    std::vector<FitProbe> probes;
    for (const std::size_t p : kind_.probes)
      if (auto probe = fit_probe(p)) probes.push_back(std::move(*probe));
    if (probes.empty()) {
      told().not_fitted = "not_fitted_no_probe";
      return;
    }
    out_.fit = fit_bags(probes, steam_.trace, tables_.vapour, tables_.figures, out_.prior);
    const Fit& fit = out_.fit;
    told().not_fitted = reason(fit.refusal);
    const Multipliers m = fit.multipliers();
    told().conductivity = m.conductivity;
    told().vapour = m.vapour;
    told().film = m.film;
    told().rms_K = fit.rms_K; // of a refused fit too: it says why
    if (!is_fitted()) return;
    told().conductivity_learned = fit.is_learned[0];
    told().vapour_learned = fit.is_learned[1];
    told().film_learned = fit.is_learned[2];
    told().conductivity_far = fit.is_far[0];
    told().vapour_far = fit.is_far[1];
    told().film_far = fit.is_far[2];
    for (std::size_t i = 0; i < unknown_count; ++i)
      for (std::size_t j = 0; j <= i; ++j)
        told().covariance.push_back(fit.covariance[i][j]);
    fitted_time_ = lag_of_kind(fit, probes.front().start_degC, arrival_degC(kind_.probes.front()));
    if (fitted_time_) told().lag_powers.assign(fitted_time_->slope.begin(), fitted_time_->slope.end());
    for (const FittedProbe& probe : fit.probes)
      out_.speeds_ln.push_back(probe.speed_ln);
  }

  [[nodiscard]] std::optional<FittedTime> lag_of_kind(const Fit& fit, double start_degC,
                                                      double arrival_degC) const {
    return times_to({arrival_degC}, body(), start_degC, fit, longer_, tables_.vapour).front();
  }
  /// Where a core counts as arrived: near its own top, as it was seen; steam that comes and goes never brings
  /// it to that of the steam.
  [[nodiscard]] double arrival_degC(std::size_t p) const {
    const ProbeMeasures& measures = basis_.probes[p].measures;
    const double top_degC =
        measures.near_top_at_s ? std::min(measures.plateau_degC, steam_.top_degC) : steam_.top_degC;
    return held_to_model_degC(top_degC - near_top_K);
  }
  /// Of a time from the steam's first moment.
  [[nodiscard]] double behind_steam_minutes(double from_begin_s) const {
    return std::max(0.0, from_begin_s + longer_.from_s() - steam_.near_top_at_s) / 60;
  }

  ProbeHeating probe_heating(std::size_t p) {
    const Measured& one = basis_.probes[p];
    ProbeHeating out;
    out.probe = one.probe->name;
    const double start_degC = held_to_model_degC(one.measures.first_degC.value_or(20));
    if (one.measures.near_top_at_s)
      out.lag_minutes = behind_steam_minutes(*one.measures.near_top_at_s - longer_.from_s());
    tell_expected(out, start_degC, p);
    tell_fitted(out, start_degC, arrival_degC(p));
    out.remark = remark_of(out);
    if (!out.remark.empty() && one.measures.near_top_at_s)
      explain(out, {arrival_degC(p), *one.measures.near_top_at_s, start_degC});
    return out;
  }

  /// By the tables alone.
  void tell_expected(ProbeHeating& out, double start_degC, std::size_t p) {
    if (expected_.empty() || std::abs(start_degC - expected_start_degC_) > like_start_K) {
      const HeatingFigures& figures = tables_.figures;
      const Fit before =
          with_bag_spread(fit_before_any_log(prior_of_tables(figures), figures), figures.bag_spread);
      std::vector<double> arrivals_degC;
      for (const std::size_t each : kind_.probes)
        arrivals_degC.push_back(arrival_degC(each));
      expected_ = times_to(arrivals_degC, body(), start_degC, before, longer_, tables_.vapour);
      expected_start_degC_ = start_degC;
    }
    const auto at = std::ranges::find(kind_.probes, p) - kind_.probes.begin();
    const std::optional<FittedTime>& expected = expected_[static_cast<std::size_t>(at)];
    if (!expected) return;
    out.expected_minutes = behind_steam_minutes(expected->s);
    out.expected_lower_minutes = behind_steam_minutes(expected->s * std::exp(-coverage_k * expected->ln_sd));
    out.expected_upper_minutes = behind_steam_minutes(expected->s * std::exp(coverage_k * expected->ln_sd));
  }

  [[nodiscard]] const FittedProbe* fitted(const std::string& name) const {
    const auto found = std::ranges::find(out_.fit.probes, name, &FittedProbe::name);
    return found == out_.fit.probes.end() ? nullptr : &*found;
  }

  void tell_fitted(ProbeHeating& out, double start_degC, double arrival_degC) const {
    const FittedProbe* probe = fitted(out.probe);
    if (probe == nullptr) return;
    out.speed = std::exp(probe->speed_ln);
    out.speed_sd = probe->speed_sd;
    out.rms_K = probe->rms_K;
    if (!is_fitted() || !fitted_time_) return;
    const Multipliers own = multipliers_of(with_speed(out_.fit.ln, probe->speed_ln));
    const BagHistory history = heat_bag(body(), own, longer_, tables_.vapour,
                                        {.from_s = longer_.from_s(),
                                         .to_s = longer_.to_s(),
                                         .start_degC = start_degC,
                                         .probe_off_m = 0,
                                         .fineness = {},
                                         .until_core_degC = arrival_degC});
    const auto reached_s = core_reaches_s(history, arrival_degC);
    if (!reached_s) return;
    const double s = *reached_s - longer_.from_s();
    out.fitted_minutes = behind_steam_minutes(s);
    out.fitted_lower_minutes = behind_steam_minutes(s * std::exp(-coverage_k * fitted_time_->ln_sd));
    out.fitted_upper_minutes = behind_steam_minutes(s * std::exp(coverage_k * fitted_time_->ln_sd));
  }

  /// Logarithm of its speed beside the middle one of the others, where these are two or more: a second bag
  /// out of the way does not move that.
  [[nodiscard]] std::optional<double> beside_others_ln(const ProbeHeating& probe) const {
    const auto others = static_cast<double>(out_.speeds_ln.size()) - 1;
    if (!is_fitted() || others < 2 || fitted(probe.probe) == nullptr) return std::nullopt;
    std::vector<double> sorted;
    for (const FittedProbe& other : out_.fit.probes)
      if (other.name != probe.probe) sorted.push_back(other.speed_ln);
    std::ranges::sort(sorted);
    const std::size_t half = sorted.size() / 2;
    const double middle = sorted.size() % 2 == 1 ? sorted[half] : (sorted[half - 1] + sorted[half]) / 2;
    return std::log(probe.speed) - middle;
  }

  [[nodiscard]] std::string remark_of(const ProbeHeating& probe) const {
    if (probe.lag_minutes && probe.expected_upper_minutes) {
      if (*probe.lag_minutes > *probe.expected_upper_minutes) return "lag_slower_than_described";
      if (*probe.lag_minutes < *probe.expected_lower_minutes) return "lag_faster_than_described";
    }
    const auto beside_ln = beside_others_ln(probe);
    if (!beside_ln) return "";
    const double others = static_cast<double>(out_.speeds_ln.size()) - 1;
    // The variance of the middle one of n is pi / 2 times that of their mean (normal, many; from memory).
    const double far =
        tables_.figures.far_multiplier * spread_.sd * std::sqrt(1 + std::numbers::pi / 2 / others);
    if (*beside_ln < -far) return "lag_slower_than_kind";
    return *beside_ln > far ? "lag_faster_than_kind" : "";
  }

  /// Beside its kind: by what the others of its kind show; else by the tables.
  void explain(ProbeHeating& out, const SeenArrival& seen) const {
    UnknownVector ln{};
    if (out.remark == "lag_slower_than_kind" || out.remark == "lag_faster_than_kind")
      ln = with_speed(out_.fit.ln, std::log(out.speed) - beside_others_ln(out).value_or(0));
    const LagExplanation why =
        what_would_explain(*kind_.bag, kind_.variants.front(), multipliers_of(ln), seen, longer_, tables_);
    out.would_weigh_kg = why.mass_kg;
    out.would_be_moist_wb = why.moisture_wb;
    out.would_be_off_m = why.probe_off_m;
  }

  [[nodiscard]] std::string evidence() const {
    if (is_fitted() && out_.speeds_ln.size() >= 2) return "fitted";
    const auto& pattern = basis_.input.pattern;
    if (pattern && pattern->is_proven && out_.learned != nullptr && is_like_earlier_runs()) return "pattern";
    return "model";
  }

  /// Every probed bag arrived as those of earlier runs let expect, else this load is not what they were.
  [[nodiscard]] bool is_like_earlier_runs() const {
    Fit earlier;
    earlier.ln = out_.learned->prior.ln;
    return std::ranges::all_of(kind_.probes, [&](std::size_t p) { return arrived_by(p, earlier); });
  }

  [[nodiscard]] bool arrived_by(std::size_t p, const Fit& earlier) const {
    const Measured& one = basis_.probes[p];
    if (!one.measures.near_top_at_s || !one.measures.first_degC) return false;
    const auto expected = lag_of_kind(earlier, held_to_model_degC(*one.measures.first_degC), arrival_degC(p));
    const double seen_s = *one.measures.near_top_at_s - longer_.from_s();
    if (!expected || !(seen_s > 0)) return false;
    const double power = std::accumulate(expected->slope.begin(), expected->slope.end(), 0.0);
    const double speed_ln = std::log(seen_s / expected->s) / power;
    const double spread =
        spread_.sd * std::sqrt(1 + 1 / static_cast<double>(std::max(out_.learned->bags, 1)));
    return std::abs(speed_ln) <= tables_.figures.far_multiplier * spread;
  }

  const LoadBasis& basis_;
  const LoadSteam& steam_;
  const LoadKind& kind_;
  const SpeedSpread& spread_;
  const HeatingTables& tables_;
  SteamTrace longer_; ///< the steam held on for a day
  KindHeating out_;
  std::optional<FittedTime> fitted_time_;           ///< of the kind, from the steam's first moment
  std::vector<std::optional<FittedTime>> expected_; ///< of each probe, by the tables; empty until asked for
  double expected_start_degC_ = 0;
};

} // namespace

KindHeating kind_heating(const LoadBasis& basis, const LoadSteam& steam, const LoadKind& kind,
                         const SpeedSpread& spread) {
  our_check(!kind.variants.empty() && kind.bag != nullptr, "a kind in a load is described");
  return KindTeller(basis, steam, kind, spread).tell();
}

} // namespace coldbag
