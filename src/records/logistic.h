// How the share of bad bags goes with figures of their runs: logistic regression of counts, and exact
// intervals of a share. docs/mathematics/records.md; tests/published/outcome_statistics_test.cpp guards them.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

namespace coldbag {

struct Interval {
  double lower = 0;
  double upper = 0;
  bool operator==(const Interval&) const = default;
};

/// Clopper-Pearson, two-sided: bad of bags, 0 <= bad <= bags, bags above 0 (checked).
[[nodiscard]] Interval exact_interval(int bad, int bags, double level = 0.95);
/// Its lower end where bags of one run are alike, and so count for fewer: bad and bags are both divided by
/// `scatter`, at or above 1 (Rao and Scott 1992, from memory).
[[nodiscard]] double scattered_lower(int bad, int bags, double scatter, double level = 0.95);
/// One-sided upper bound of exact_interval.
[[nodiscard]] double exact_upper(int bad, int bags, double level = 0.95);
/// Chance of at least so many of `of` where each has this chance.
[[nodiscard]] double chance_of_at_least(int count, int of, double chance);

/// One run: so many bad of so many, beside figures that may matter.
struct CountRow {
  int bad = 0;
  int bags = 0; ///< above 0
  std::vector<double> x;
};

struct LogisticFit {
  std::vector<double> slopes; ///< of log odds; the intercept first
  std::vector<double> errors; ///< standard errors, as a binomial scatter alone would make them
  double deviance = 0;
  double null_deviance = 0;
  double log_likelihood = 0; ///< of single bags, without the terms that no slope changes
  double pearson = 0;        ///< chi-square
  int freedom = 0;           ///< rows less slopes and intercept
  /// Between runs beyond what a binomial has, as pearson / freedom; 1 where it is less.
  [[nodiscard]] double dispersion() const;
};

enum class NoFit { too_few, no_spread, separated };

struct LogisticResult {
  std::optional<LogisticFit> fit;
  NoFit why_not = NoFit::too_few; ///< where there is no fit
};

/// Maximum likelihood by iteratively reweighted least squares. Every row has as many x (checked). separated:
/// the figures part bad from good entirely, and a slope would grow without end.
[[nodiscard]] LogisticResult fit_logistic(std::span<const CountRow> rows);

/// What a step of x does to the odds, with its 95 % interval: errors are widened by the root of the
/// dispersion, then by Student's t.
struct OddsTimes {
  double times = 1;
  Interval interval;
  bool operator==(const OddsTimes&) const = default;
};
[[nodiscard]] OddsTimes odds_times(const LogisticFit& fit, std::size_t slope, double step);

/// Pearson's correlation; none where one of them does not vary.
[[nodiscard]] std::optional<double> correlation(std::span<const double> a, std::span<const double> b);

} // namespace coldbag
