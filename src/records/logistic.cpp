#include "records/logistic.h"

#include "errors/our_fault.h"

#include <boost/math/distributions/beta.hpp>
#include <boost/math/distributions/binomial.hpp>
#include <boost/math/distributions/normal.hpp>
#include <boost/math/distributions/students_t.hpp>

#include <Eigen/Dense>

#include <algorithm>
#include <cmath>

namespace coldbag {

namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr int most_steps = 40;
constexpr double small_step = 1e-12;
constexpr double endless_slope = 20; // of a figure in its own standard deviations
constexpr double interval_level = 0.95;

/// x in its own standard deviations, with a column of ones before it; `back` makes slopes of x of theirs.
struct Design {
  MatrixXd x;
  MatrixXd back;
  VectorXd bad;
  VectorXd bags;
};

std::optional<Design> design_of(std::span<const CountRow> rows) {
  const auto count = static_cast<Index>(rows.size());
  const auto slopes = static_cast<Index>(rows.front().x.size());
  Design out{MatrixXd::Ones(count, slopes + 1), MatrixXd::Identity(slopes + 1, slopes + 1), VectorXd(count),
             VectorXd(count)};
  for (Index i = 0; i < count; ++i) {
    const CountRow& row = rows[static_cast<std::size_t>(i)];
    our_check(static_cast<Index>(row.x.size()) == slopes && row.bags > 0 && row.bad >= 0 &&
                  row.bad <= row.bags,
              "rows of counts are alike and whole");
    out.bad(i) = row.bad;
    out.bags(i) = row.bags;
    for (Index j = 0; j < slopes; ++j)
      out.x(i, j + 1) = row.x[static_cast<std::size_t>(j)];
  }
  for (Index j = 1; j <= slopes; ++j) {
    const double mean = out.x.col(j).mean();
    out.x.col(j).array() -= mean;
    const double sd = std::sqrt(out.x.col(j).squaredNorm() / static_cast<double>(count));
    if (!(sd > 1e-9 * std::max(1.0, std::abs(mean)))) return std::nullopt;
    out.x.col(j) /= sd;
    out.back(j, j) = 1 / sd;
    out.back(0, j) = -mean / sd;
  }
  return out;
}

double log_likelihood(const Design& design, const VectorXd& slopes) {
  const VectorXd eta = design.x * slopes;
  double sum = 0;
  for (Index i = 0; i < eta.size(); ++i) {
    // log(1 + e^eta) without overflow.
    const double log_one_more = std::max(eta(i), 0.0) + std::log1p(std::exp(-std::abs(eta(i))));
    sum += design.bad(i) * eta(i) - design.bags(i) * log_one_more;
  }
  return sum;
}

VectorXd chances(const Design& design, const VectorXd& slopes) {
  return (1 / (1 + (-(design.x * slopes).array()).exp())).matrix();
}

MatrixXd information(const Design& design, const VectorXd& chance) {
  const VectorXd weight = (design.bags.array() * chance.array() * (1 - chance.array())).matrix();
  return design.x.transpose() * weight.asDiagonal() * design.x;
}

/// Slopes, or nothing where they grow without end.
std::optional<VectorXd> most_likely(const Design& design) {
  VectorXd slopes = VectorXd::Zero(design.x.cols());
  double reached = log_likelihood(design, slopes);
  for (int step = 0; step < most_steps; ++step) {
    const VectorXd chance = chances(design, slopes);
    const Eigen::LDLT<MatrixXd> solver(information(design, chance));
    if (solver.info() != Eigen::Success || !(solver.rcond() > 1e-12)) return std::nullopt;
    VectorXd change = solver.solve(design.x.transpose() *
                                   (design.bad.array() - design.bags.array() * chance.array()).matrix());
    for (int halved = 0; halved < 30 && log_likelihood(design, slopes + change) < reached - 1e-9; ++halved)
      change /= 2;
    slopes += change;
    reached = log_likelihood(design, slopes);
    if (slopes.tail(slopes.size() - 1).cwiseAbs().maxCoeff() > endless_slope) return std::nullopt;
    if (change.cwiseAbs().maxCoeff() < small_step * (1 + slopes.cwiseAbs().maxCoeff())) return slopes;
  }
  return std::nullopt;
}

double deviance_part(double seen, double expected) {
  return seen > 0 ? seen * std::log(seen / expected) : 0;
}

double deviance(const Design& design, const VectorXd& chance) {
  double sum = 0;
  for (Index i = 0; i < chance.size(); ++i)
    sum += deviance_part(design.bad(i), design.bags(i) * chance(i)) +
           deviance_part(design.bags(i) - design.bad(i), design.bags(i) * (1 - chance(i)));
  return 2 * sum;
}

LogisticFit told(const Design& design, const VectorXd& slopes) {
  LogisticFit fit;
  const VectorXd chance = chances(design, slopes);
  const MatrixXd inverse =
      information(design, chance).ldlt().solve(MatrixXd::Identity(slopes.size(), slopes.size()));
  const VectorXd own = design.back * slopes;
  const VectorXd variance = (design.back * inverse * design.back.transpose()).diagonal();
  for (Index j = 0; j < own.size(); ++j) {
    fit.slopes.push_back(own(j));
    fit.errors.push_back(std::sqrt(variance(j)));
  }
  fit.log_likelihood = log_likelihood(design, slopes);
  fit.deviance = deviance(design, chance);
  fit.null_deviance =
      deviance(design, VectorXd::Constant(chance.size(), design.bad.sum() / design.bags.sum()));
  const Eigen::ArrayXd expected = design.bags.array() * chance.array();
  fit.pearson = ((design.bad.array() - expected).square() / (expected * (1 - chance.array()))).sum();
  fit.freedom = static_cast<int>(design.x.rows() - design.x.cols());
  return fit;
}

} // namespace

Interval exact_interval(int bad, int bags, double of_level) {
  our_check(bags > 0 && bad >= 0 && bad <= bags, "a share is of something");
  const double tail = (1 - of_level) / 2;
  Interval out{0, 1};
  if (bad > 0) out.lower = boost::math::quantile(boost::math::beta_distribution<>(bad, bags - bad + 1), tail);
  if (bad < bags)
    out.upper = boost::math::quantile(
        boost::math::complement(boost::math::beta_distribution<>(bad + 1, bags - bad), tail));
  return out;
}

double scattered_lower(int bad, int bags, double scatter, double of_level) {
  our_check(bags > 0 && bad >= 0 && bad <= bags && scatter >= 1, "a share is of something");
  if (bad == 0) return 0;
  const boost::math::beta_distribution<> distribution(bad / scatter, (bags - bad) / scatter + 1);
  return boost::math::quantile(distribution, (1 - of_level) / 2);
}

double exact_upper(int bad, int bags, double of_level) {
  return exact_interval(bad, bags, 2 * of_level - 1).upper;
}

double chance_of_at_least(int count, int of, double chance) {
  if (count <= 0) return 1;
  if (count > of) return 0;
  const boost::math::binomial_distribution<> distribution(of, std::clamp(chance, 0.0, 1.0));
  return boost::math::cdf(boost::math::complement(distribution, count - 1));
}

double LogisticFit::dispersion() const {
  return freedom > 0 ? std::max(1.0, pearson / freedom) : 1;
}

LogisticResult fit_logistic(std::span<const CountRow> rows) {
  if (rows.size() < 2 || rows.size() <= rows.front().x.size() + 1) return {std::nullopt, NoFit::too_few};
  const auto design = design_of(rows);
  if (!design) return {std::nullopt, NoFit::no_spread};
  if (design->bad.sum() == 0 || design->bad.sum() == design->bags.sum())
    return {std::nullopt, NoFit::too_few};
  const auto slopes = most_likely(*design);
  if (!slopes) return {std::nullopt, NoFit::separated};
  return {told(*design, *slopes), {}};
}

OddsTimes odds_times(const LogisticFit& fit, std::size_t slope, double step) {
  const double beyond = (1 - interval_level) / 2;
  const bool is_widened = fit.dispersion() > 1;
  const double reach = is_widened ? -boost::math::quantile(boost::math::students_t(fit.freedom), beyond)
                                  : -boost::math::quantile(boost::math::normal(), beyond);
  const double half = reach * fit.errors.at(slope) * std::sqrt(fit.dispersion()) * std::abs(step);
  const double middle = fit.slopes.at(slope) * step;
  return {std::exp(middle), {std::exp(middle - half), std::exp(middle + half)}};
}

std::optional<double> correlation(std::span<const double> a, std::span<const double> b) {
  our_check(a.size() == b.size(), "they go together");
  if (a.size() < 2) return std::nullopt;
  const Eigen::Map<const VectorXd> one(a.data(), static_cast<Index>(a.size()));
  const Eigen::Map<const VectorXd> other(b.data(), static_cast<Index>(b.size()));
  const VectorXd off = one.array() - one.mean();
  const VectorXd other_off = other.array() - other.mean();
  const double scale = off.norm() * other_off.norm();
  if (!(scale > 0)) return std::nullopt;
  return off.dot(other_off) / scale;
}

} // namespace coldbag
