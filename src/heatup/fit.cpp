#include "heatup/fit.h"

#include "errors/our_fault.h"

#include <Eigen/Cholesky>
#include <Eigen/Core>
#include <Eigen/Eigenvalues>
#include <Eigen/LU>

#include <algorithm>
#include <cmath>
#include <future>
#include <numeric>
#include <type_traits>

namespace coldbag {

namespace {

using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr Eigen::Index unknowns = unknown_count;
constexpr double difference = 0.05; ///< step of the logarithms for slopes
constexpr double least_noise_K = 0.05;
/// For slopes and first approaches; the last turns take the working grid.
constexpr Fineness coarse{.cells = 5, .bend_K = 1.2, .most_step_s = 1200};

UnknownVector moved(UnknownVector ln, std::size_t which, double by) {
  ln[which] += by;
  return ln;
}

/// The model's reading at each of a probe's points.
VectorXd model_degC(const FitProbe& probe, const UnknownVector& ln, const SteamTrace& steam,
                    const VapourTable& vapour, const std::optional<Fineness>& fineness) {
  const BagHistory history = heat_bag(probe.body, multipliers_of(ln), steam, vapour,
                                      {.from_s = steam.from_s(),
                                       .to_s = std::min(probe.points.back().time_s + 1, steam.to_s()),
                                       .start_degC = probe.start_degC,
                                       .probe_off_m = 0,
                                       .fineness = fineness});
  VectorXd out(static_cast<Eigen::Index>(probe.points.size()));
  std::size_t at = 0;
  const std::vector<BagMoment>& moments = history.moments;
  for (std::size_t i = 0; i < probe.points.size(); ++i) {
    const double time_s = probe.points[i].time_s;
    while (at + 2 < moments.size() && moments[at + 1].time_s < time_s)
      ++at;
    const BagMoment& a = moments[at];
    const BagMoment& b = moments[at + 1];
    const double share = std::clamp((time_s - a.time_s) / (b.time_s - a.time_s), 0.0, 1.0);
    out[static_cast<Eigen::Index>(i)] = a.core_degC + share * (b.core_degC - a.core_degC);
  }
  return out;
}

/// Noise of each mean, and an error that keeps its sign.
Eigen::LLT<MatrixXd> spread_of(const FitProbe& probe, double model_error_K, double correlation_s) {
  const auto n = static_cast<Eigen::Index>(probe.points.size());
  MatrixXd covariance(n, n);
  for (Eigen::Index i = 0; i < n; ++i)
    for (Eigen::Index j = 0; j < n; ++j) {
      const double apart_s = std::abs(probe.points[static_cast<std::size_t>(i)].time_s -
                                      probe.points[static_cast<std::size_t>(j)].time_s);
      covariance(i, j) = model_error_K * model_error_K * std::exp(-apart_s / correlation_s);
    }
  for (Eigen::Index i = 0; i < n; ++i) {
    const double noise = std::max(probe.noise_K, least_noise_K);
    covariance(i, i) += noise * noise / probe.points[static_cast<std::size_t>(i)].readings;
  }
  return covariance.llt();
}

class Fitter {
 public:
  Fitter(const std::vector<FitProbe>& probes, const SteamTrace& steam, const VapourTable& vapour,
         const HeatingFigures& figures, const FitPrior& prior)
      : probes_(probes), steam_(steam), vapour_(vapour), figures_(figures),
        prior_(prior), table_sd_{figures.prior_conductivity, figures.prior_vapour, figures.prior_film},
        has_speeds_(probes.size() > 1),
        count_(unknowns + (has_speeds_ ? static_cast<Eigen::Index>(probes.size()) : 0)),
        prior_at_(VectorXd::Zero(count_)), prior_weight_(MatrixXd::Zero(count_, count_)) {
    prior_at_.head(unknowns) = Eigen::Map<const Eigen::Vector3d>(prior.ln.data());
    prior_weight_.topLeftCorner(unknowns, unknowns) =
        Eigen::Map<const Eigen::Matrix3d>(prior.covariance.front().data()).inverse();
    for (Eigen::Index i = unknowns; i < count_; ++i)
      prior_weight_(i, i) = 1 / (figures.probe_spread * figures.probe_spread);
    set_model_error(figures.model_error_K);
  }

  Fit fit() {
    VectorXd best = approach(first_guess(), coarse, most_coarse_turns).at;
    set_model_error(std::max(figures_.model_error_K, grid_error_K(best)));
    best = approach(best, {}, most_fine_turns).at;
    return told(best);
  }

 private:
  struct Found {
    VectorXd at;
    double cost = 0;
  };

  void set_model_error(double K) {
    model_error_K_ = K;
    spread_.clear();
    for (const FitProbe& probe : probes_)
      spread_.push_back(spread_of(probe, K, figures_.model_error_correlation_s));
  }

  [[nodiscard]] UnknownVector ln_of(const VectorXd& at, std::size_t probe) const {
    const UnknownVector common{at[0], at[1], at[2]};
    return has_speeds_ ? with_speed(common, at[unknowns + static_cast<Eigen::Index>(probe)]) : common;
  }

  [[nodiscard]] VectorXd residual(const VectorXd& at, std::size_t p,
                                  const std::optional<Fineness>& grid) const {
    return model_degC(probes_[p], ln_of(at, p), steam_, vapour_, grid) - measured(p);
  }

  [[nodiscard]] VectorXd measured(std::size_t p) const {
    VectorXd out(static_cast<Eigen::Index>(probes_[p].points.size()));
    for (std::size_t i = 0; i < probes_[p].points.size(); ++i)
      out[static_cast<Eigen::Index>(i)] = probes_[p].points[i].degC;
    return out;
  }

  [[nodiscard]] double cost(const VectorXd& at, const std::vector<VectorXd>& residuals) const {
    const VectorXd off = at - prior_at_;
    double sum = off.dot(prior_weight_ * off);
    for (std::size_t p = 0; p < probes_.size(); ++p)
      sum += spread_[p].matrixL().solve(residuals[p]).squaredNorm();
    return sum;
  }

  [[nodiscard]] std::vector<VectorXd> residuals(const VectorXd& at,
                                                const std::optional<Fineness>& grid) const {
    return of_each_probe([&](std::size_t p) { return residual(at, p, grid); });
  }

  /// What `of` gives for each probe, half of them in a second thread: each is worked out alone, so the digits
  /// do not know of it.
  template <class Of>
  [[nodiscard]] std::vector<std::invoke_result_t<const Of&, std::size_t>> of_each_probe(const Of& of) const {
    std::vector<std::invoke_result_t<const Of&, std::size_t>> out(probes_.size());
    const std::size_t half = probes_.size() / 2;
    const auto work = [&](std::size_t from, std::size_t to) {
      for (std::size_t p = from; p < to; ++p)
        out[p] = of(p);
    };
    std::future<void> other;
    if (half > 0) other = std::async(std::launch::async, work, std::size_t{0}, half);
    work(half, probes_.size());
    if (half > 0) other.get();
    return out;
  }

  /// Slopes of one probe's readings against its three logarithms, on the coarse grid.
  [[nodiscard]] MatrixXd slopes(const VectorXd& at, std::size_t p, const VectorXd& here) const {
    const UnknownVector ln = ln_of(at, p);
    MatrixXd out(static_cast<Eigen::Index>(probes_[p].points.size()), unknowns);
    for (std::size_t u = 0; u < unknown_count; ++u)
      out.col(static_cast<Eigen::Index>(u)) =
          (model_degC(probes_[p], moved(ln, u, difference), steam_, vapour_, coarse) - here) / difference;
    return out;
  }

  struct Normal {
    MatrixXd matrix;
    VectorXd pull;
  };

  /// Residuals on that grid.
  [[nodiscard]] Normal normal(const VectorXd& at, const std::vector<VectorXd>& r,
                              const std::optional<Fineness>& grid) const {
    Normal out{prior_weight_, prior_weight_ * (prior_at_ - at)};
    const std::vector<MatrixXd> slope = of_each_probe([&](std::size_t p) {
      const bool is_coarse = grid == std::optional(coarse); // then the residuals tell what the model said
      return slopes(at, p,
                    is_coarse ? measured(p) + r[p]
                              : model_degC(probes_[p], ln_of(at, p), steam_, vapour_, coarse));
    });
    for (std::size_t p = 0; p < probes_.size(); ++p) {
      const MatrixXd& own = slope[p];
      MatrixXd all = MatrixXd::Zero(own.rows(), count_);
      all.leftCols(unknowns) = own;
      if (has_speeds_) all.col(unknowns + static_cast<Eigen::Index>(p)) = own.rowwise().sum();
      const MatrixXd white = spread_[p].matrixL().solve(all);
      const VectorXd white_r = spread_[p].matrixL().solve(r[p]);
      out.matrix += white.transpose() * white;
      out.pull -= white.transpose() * white_r;
    }
    return out;
  }

  /// Levenberg-Marquardt from one start.
  [[nodiscard]] Found approach(VectorXd at, const std::optional<Fineness>& grid, int most_turns) const {
    std::vector<VectorXd> r = residuals(at, grid);
    double now = cost(at, r);
    double damping = 1e-2;
    for (int turn = 0; turn < most_turns; ++turn) {
      const Normal step = normal(at, r, grid);
      bool is_better = false;
      double fell = 0;
      for (int attempt = 0; attempt < 6 && !is_better; ++attempt) {
        MatrixXd damped = step.matrix;
        damped.diagonal() *= 1 + damping;
        VectorXd change = damped.ldlt().solve(step.pull);
        const double longest = change.cwiseAbs().maxCoeff();
        if (longest > most_change) change *= most_change / longest;
        const VectorXd next = (at + change).cwiseMax(-farthest).cwiseMin(farthest);
        std::vector<VectorXd> next_r = residuals(next, grid);
        const double next_cost = cost(next, next_r);
        is_better = next_cost < now;
        if (!is_better) {
          damping *= 10;
          continue;
        }
        fell = now - next_cost;
        at = next;
        r = std::move(next_r);
        now = next_cost;
        damping = std::max(damping / 10, 1e-6);
      }
      if (!is_better || fell < enough) break;
    }
    return {at, now};
  }

  /// From three starts by one bag alone, the one that warmed at the middle speed of all.
  [[nodiscard]] VectorXd first_guess() const {
    VectorXd out = VectorXd::Zero(count_);
    if (!has_speeds_) return best_of_starts();
    std::vector<std::size_t> order(probes_.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    const auto middle = order.begin() + static_cast<std::ptrdiff_t>(order.size() / 2);
    const auto warmth = [&](std::size_t p) {
      return std::accumulate(probes_[p].points.begin(), probes_[p].points.end(), 0.0,
                             [](double sum, const FitPoint& point) { return sum + point.degC; }) /
             static_cast<double>(probes_[p].points.size());
    };
    std::nth_element(order.begin(), middle, order.end(),
                     [&](std::size_t a, std::size_t b) { return warmth(a) < warmth(b); });
    const std::vector<FitProbe> one{probes_[*middle]};
    out.head(unknowns) = Fitter(one, steam_, vapour_, figures_, prior_).best_of_starts();
    return out;
  }

  [[nodiscard]] VectorXd best_of_starts() const {
    const auto sd = [this](std::size_t i) { return std::sqrt(prior_.covariance[i][i]); };
    const double k = sd(0);
    const double f = sd(1);
    const double h = sd(2);
    const std::array<UnknownVector, 3> starts{{{0, 0, 0}, {-k, f, -h}, {k, -f, h}}};
    Found best;
    for (const UnknownVector& start : starts) {
      VectorXd at = VectorXd::Zero(count_);
      for (Eigen::Index i = 0; i < unknowns; ++i)
        at[i] = prior_at_[i] + start[static_cast<std::size_t>(i)];
      const Found found = approach(at, coarse, first_turns);
      if (best.at.size() == 0 || found.cost < best.cost) best = found;
    }
    best = approach(best.at, coarse, most_coarse_turns);
    return best.at;
  }

  /// How far the working grid is from one twice as fine, at the first probe: largest difference, K.
  [[nodiscard]] double grid_error_K(const VectorXd& at) const {
    const UnknownVector ln = ln_of(at, 0);
    const Fineness working = working_fineness(probes_[0].body, multipliers_of(ln));
    const Fineness finer{
        .cells = working.cells * 3 / 2, .bend_K = working.bend_K / 2, .most_step_s = working.most_step_s};
    const VectorXd apart = model_degC(probes_[0], ln, steam_, vapour_, working) -
                           model_degC(probes_[0], ln, steam_, vapour_, finer);
    // Half as much again of the cell is 5/9 of the error of the second order.
    return apart.cwiseAbs().maxCoeff() * 9 / 5;
  }

  /// A common speed is the same as a common factor of the three: the kind is the mean of its probed bags, and
  /// what a bag differs is told from there.
  [[nodiscard]] MatrixXd to_mean_of_bags() const {
    MatrixXd out = MatrixXd::Identity(count_, count_);
    if (!has_speeds_) return out;
    const Eigen::Index bags = count_ - unknowns;
    const double share = 1 / static_cast<double>(bags);
    out.topRightCorner(unknowns, bags).setConstant(share);
    out.bottomRightCorner(bags, bags).array() -= share;
    return out;
  }

  [[nodiscard]] Fit told(const VectorXd& at) const {
    Fit out;
    out.model_error_K = model_error_K_;
    const std::vector<VectorXd> r = residuals(at, {});
    double square = 0;
    double points = 0;
    const MatrixXd shift = to_mean_of_bags();
    const MatrixXd all = shift * normal(at, r, {}).matrix.inverse() * shift.transpose();
    const VectorXd own = shift * at;
    for (std::size_t p = 0; p < probes_.size(); ++p) {
      const auto n = static_cast<double>(r[p].size());
      square += r[p].squaredNorm();
      points += n;
      const auto s = unknowns + static_cast<Eigen::Index>(p);
      out.probes.push_back({probes_[p].name, has_speeds_ ? own[s] : 0,
                            has_speeds_ ? std::sqrt(std::max(all(s, s), 0.0)) : 0,
                            std::sqrt(r[p].squaredNorm() / n)});
    }
    out.rms_K = std::sqrt(square / points);
    MatrixXd covariance = all.topLeftCorner(unknowns, unknowns);
    covariance.array() += figures_.described_error * figures_.described_error;
    Eigen::Matrix3d scaled;
    for (std::size_t i = 0; i < unknown_count; ++i) {
      const auto a = static_cast<Eigen::Index>(i);
      out.ln[i] = own[a];
      const double sd = std::sqrt(covariance(a, a));
      out.is_learned[i] = sd < figures_.learned_under * table_sd_[i];
      out.is_far[i] = std::abs(own[a]) > figures_.far_multiplier * table_sd_[i];
      for (std::size_t j = 0; j < unknown_count; ++j) {
        const auto b = static_cast<Eigen::Index>(j);
        out.covariance[i][j] = covariance(a, b);
        scaled(a, b) = covariance(a, b) / (table_sd_[i] * table_sd_[j]);
      }
    }
    const Eigen::SelfAdjointEigenSolver<Eigen::Matrix3d> solver(scaled);
    for (std::size_t d = 0; d < unknown_count; ++d) {
      const auto column = static_cast<Eigen::Index>(d);
      FitDirection& direction = out.directions[d];
      for (std::size_t i = 0; i < unknown_count; ++i)
        direction.along[i] = solver.eigenvectors()(static_cast<Eigen::Index>(i), column);
      direction.narrowed = std::sqrt(std::max(solver.eigenvalues()[column], 0.0));
      direction.is_learned = direction.narrowed < figures_.learned_under;
      for (std::size_t i = 0; i < unknown_count && !direction.is_learned; ++i)
        if (std::abs(direction.along[i]) >= figures_.partakes) out.is_learned[i] = false;
    }
    if (out.rms_K > figures_.largest_rms_K) out.refusal = FitRefusal::does_not_fit;
    return out;
  }

  static constexpr int first_turns = 4; ///< of each start; the best of them goes on
  static constexpr int most_coarse_turns = 12;
  static constexpr int most_fine_turns = 6;
  static constexpr double most_change = 0.7; ///< of a logarithm in one turn
  static constexpr double farthest = 3;      ///< a logarithm goes no further: twenty times
  static constexpr double enough = 0.03;     ///< fall of the cost after which another turn is not worth it
  const std::vector<FitProbe>& probes_;
  const SteamTrace& steam_;
  const VapourTable& vapour_;
  const HeatingFigures& figures_;
  const FitPrior& prior_;
  UnknownVector table_sd_;
  bool has_speeds_;
  Eigen::Index count_;
  VectorXd prior_at_;
  MatrixXd prior_weight_; ///< inverse covariance
  double model_error_K_ = 0;
  std::vector<Eigen::LLT<MatrixXd>> spread_;
};

/// The bags warmed, and there is something to fit.
FitRefusal refusal_of(const std::vector<FitProbe>& probes) {
  constexpr double least_rise_K = 15;
  constexpr std::size_t least_points = 6;
  if (probes.empty()) return FitRefusal::no_points;
  for (const FitProbe& probe : probes) {
    if (probe.points.size() < least_points) return FitRefusal::no_points;
    if (probe.points.back().degC - probe.start_degC < least_rise_K) return FitRefusal::heating_not_seen;
  }
  return FitRefusal::none;
}

} // namespace

Multipliers multipliers_of(const UnknownVector& ln) {
  return {std::exp(ln[0]), std::exp(ln[1]), std::exp(ln[2])};
}

std::vector<FitPoint> spaced_points(const std::vector<FitPoint>& readings, std::size_t most_points) {
  our_check(most_points >= 2, "a fit has at least two points");
  std::vector<FitPoint> out;
  if (readings.empty()) return out;
  const double from_s = readings.front().time_s;
  const double width_s = (readings.back().time_s - from_s) / static_cast<double>(most_points) * (1 + 1e-9);
  std::size_t bucket = most_points;
  for (const FitPoint& reading : readings) {
    const auto here = width_s > 0 ? static_cast<std::size_t>((reading.time_s - from_s) / width_s) : 0;
    if (out.empty() || here != bucket) {
      out.push_back(reading);
      bucket = here;
      continue;
    }
    FitPoint& sum = out.back();
    const int all = sum.readings + reading.readings;
    const double share = static_cast<double>(reading.readings) / all;
    sum.time_s += share * (reading.time_s - sum.time_s);
    sum.degC += share * (reading.degC - sum.degC);
    sum.readings = all;
  }
  return out;
}

UnknownVector with_speed(UnknownVector ln, double speed_ln) {
  for (double& each : ln)
    each += speed_ln;
  return ln;
}

FitPrior prior_of_tables(const HeatingFigures& figures) {
  FitPrior out;
  const UnknownVector sd{figures.prior_conductivity, figures.prior_vapour, figures.prior_film};
  for (std::size_t i = 0; i < unknown_count; ++i)
    out.covariance[i][i] = sd[i] * sd[i];
  return out;
}

Fit fit_bags(const std::vector<FitProbe>& probes, const SteamTrace& steam, const VapourTable& vapour,
             const HeatingFigures& figures, const FitPrior& prior) {
  Fit refused;
  refused.refusal = refusal_of(probes);
  if (refused.refusal != FitRefusal::none) return refused;
  return Fitter(probes, steam, vapour, figures, prior).fit();
}

Fit fit_bags(const std::vector<FitProbe>& probes, const SteamTrace& steam, const VapourTable& vapour,
             const HeatingFigures& figures) {
  return fit_bags(probes, steam, vapour, figures, prior_of_tables(figures));
}

Fit fit_before_any_log(const FitPrior& prior, const HeatingFigures& figures) {
  Fit out;
  out.ln = prior.ln;
  out.covariance = prior.covariance;
  return with_bag_spread(out, figures.described_error);
}

Fit with_bag_spread(Fit fit, double spread_sd) {
  for (UnknownVector& row : fit.covariance)
    for (double& each : row)
      each += spread_sd * spread_sd;
  return fit;
}

std::vector<std::optional<FittedTime>> times_to(const std::vector<double>& cores_degC, const BagBody& body,
                                                double start_degC, const Fit& fit, const SteamTrace& steam,
                                                const VapourTable& vapour) {
  const auto history = [&](const UnknownVector& ln, const std::optional<Fineness>& fineness) {
    return heat_bag(body, multipliers_of(ln), steam, vapour,
                    {.from_s = steam.from_s(),
                     .to_s = steam.to_s(),
                     .start_degC = start_degC,
                     .probe_off_m = 0,
                     .fineness = fineness,
                     .until_core_degC = *std::ranges::max_element(cores_degC)});
  };
  constexpr double step = 2 * difference;
  constexpr double two_sided = 1.96;
  const BagHistory here = history(fit.ln, {});
  const BagHistory coarsely = history(fit.ln, coarse); // slopes are known well enough by it
  std::vector<BagHistory> faster;
  for (std::size_t u = 0; u < unknown_count; ++u)
    faster.push_back(history(moved(fit.ln, u, step), coarse));
  const auto time_to = [&](double core_degC) -> std::optional<FittedTime> {
    const auto reached_s = [&](const BagHistory& by) -> std::optional<double> {
      const auto at_s = core_reaches_s(by, core_degC);
      if (!at_s) return std::nullopt;
      return *at_s - steam.from_s();
    };
    const auto s = reached_s(here);
    const auto coarse_s = reached_s(coarsely);
    if (!s || !coarse_s) return std::nullopt;
    if (*s <= 0 || *coarse_s <= 0) return FittedTime{};
    UnknownVector slope{};
    for (std::size_t u = 0; u < unknown_count; ++u) {
      const auto faster_s = reached_s(faster[u]);
      if (!faster_s) return std::nullopt;
      slope[u] = std::log(*faster_s / *coarse_s) / step;
    }
    double variance = 0;
    for (std::size_t i = 0; i < unknown_count; ++i)
      for (std::size_t j = 0; j < unknown_count; ++j)
        variance += slope[i] * fit.covariance[i][j] * slope[j];
    const double ln_sd = std::sqrt(std::max(variance, 0.0));
    return FittedTime{*s, ln_sd, slope, *s * std::exp(-two_sided * ln_sd), *s * std::exp(two_sided * ln_sd)};
  };
  std::vector<std::optional<FittedTime>> out;
  out.reserve(cores_degC.size());
  for (const double core_degC : cores_degC)
    out.push_back(time_to(core_degC));
  return out;
}

std::optional<FittedTime> time_to_within(double under_K, const BagBody& body, double start_degC,
                                         const Fit& fit, const SteamTrace& steam, const VapourTable& vapour) {
  double top_degC = -300;
  for (const SteamPoint& point : steam.points())
    top_degC = std::max(top_degC, point.degC);
  return times_to({top_degC - under_K}, body, start_degC, fit, steam, vapour).front();
}

} // namespace coldbag
