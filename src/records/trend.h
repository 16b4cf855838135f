// What changes from run to run: charts of single figures with their limits, and what they tell.
// docs/mathematics/records.md has the equations; tests/published/control_chart_test.cpp guards them.
#pragma once

#include "records/charted_run.h"
#include "records/trend_figures.h"

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace coldbag {

/// Limits of single figures, from the mean range between neighbours.
struct IndividualLimits {
  double centre = 0;
  double moving_range = 0; ///< mean of |x_i - x_(i-1)|
  double sigma = 0;        ///< moving_range / moving_range_mean
  double lower = 0;
  double upper = 0;
  double moving_range_upper = 0;
  bool operator==(const IndividualLimits&) const = default;
};

/// Of two values or more (checked). NIST/SEMATECH e-Handbook 6.3.2.2. `least_sigma`: sigma is not taken
/// smaller.
[[nodiscard]] IndividualLimits individual_limits(std::span<const double> values, const TrendFigures& figures,
                                                 double least_sigma = 0);

/// z_i = lambda x_i + (1 - lambda) z_(i-1), from z_0 = `start`: one for each value.
[[nodiscard]] std::vector<double> ewma(std::span<const double> values, double start, double lambda);

/// How far from the centre the mean of the i-th value (from 1) may lie.
struct EwmaRule {
  double lambda = 0.3;
  double sigmas = 3;
  double centre_share = 0; ///< variance of the centre itself, in parts of that of a value; 0: it is known
};
/// sigmas sigma sqrt(lambda / (2 - lambda) (1 - (1 - lambda)^(2i)) + centre_share). NIST/SEMATECH e-Handbook
/// 6.3.2.4 with its limits that widen with i, but for the last term.
[[nodiscard]] double ewma_half_width(const EwmaRule& rule, double sigma, int i);
/// The rule where centre and sigma are those of so many runs: it allows for what these leave open.
[[nodiscard]] EwmaRule rule_of(const TrendFigures& figures, std::size_t baseline_runs);

/// Relative standard deviation of a sigma from moving ranges of so many values: Cryer and Ryan 1990, from
/// memory.
[[nodiscard]] double sigma_doubt(std::size_t values);

enum class TrendOf { core_lag, come_up, margin, hold_margin, plateau };

/// Runs whose mean left its limits; places are those of Trend::values.
struct Drift {
  std::size_t since = 0; ///< where the change most likely began
  std::size_t seen = 0;  ///< where it crossed the limit
  std::size_t until = 0; ///< the last beyond the limit
  bool is_up = false;
  bool lasts = false; ///< at the last run too
  bool operator==(const Drift&) const = default;
};

/// One figure in one group.
struct Trend {
  TrendOf of = TrendOf::core_lag;
  std::vector<std::size_t> runs; ///< places in TrendGroup::runs of those that have it
  std::vector<double> values;
  std::optional<IndividualLimits> limits; ///< none: too few runs
  std::size_t limits_from = 0;            ///< of so many runs
  bool is_provisional = false;
  std::vector<double> means;       ///< EWMA; a value outside its limits counts as the limit
  std::vector<double> half_widths; ///< of the means, about the centre
  std::vector<Drift> drifts;
  std::vector<std::size_t> outside; ///< single values, those of a drift not among them
  std::vector<std::size_t> jumps;   ///< far from the one before, neither outside nor of a drift
};

struct TrendGroup {
  std::string vessel, bag, treatment, treatment_name;
  bool is_imported = false;
  std::vector<ChartedRun> runs; ///< in order of time
  std::vector<Trend> trends;    ///< of figures that some run has
};

/// Two entries whose readings are the same.
struct AlikeRuns {
  enum class Kind {
    entered_twice,    ///< the same log, the same readings
    same_log,         ///< other parts of one log
    alike_in_readings ///< another log, another time or name: a suspicion
  };
  Kind kind = Kind::entered_twice;
  std::uint64_t number = 0, other_number = 0; ///< the earlier entry first
  std::string name, other_name;
  bool operator==(const AlikeRuns&) const = default;
};

struct Trends {
  std::vector<TrendGroup> groups; ///< by vessel, bag, treatment; imported runs apart
  std::vector<AlikeRuns> alike;
};

/// One figure, in order of time.
[[nodiscard]] Trend trend_of(TrendOf of, std::span<const ChartedRun> runs, const TrendFigures& figures);

/// Each run beside the first one it is alike to.
[[nodiscard]] std::vector<AlikeRuns> alike_runs(std::span<const ChartedRun> runs);

/// Every group; a run that was entered twice counts once.
[[nodiscard]] Trends trends_of(std::span<const ChartedRun> runs, const TrendFigures& figures);

} // namespace coldbag
