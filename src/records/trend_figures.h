// The figures by which trends and outcomes are told.
#pragma once

#include "tables/edition.h"

#include <string_view>

namespace coldbag {

/// trend-figures.csv, a row for each.
struct TrendFigures {
  int baseline_runs = 0; ///< a group's limits are those of its first runs
  int least_runs = 0;    ///< below it there are none
  double limit_sigmas = 0;
  double moving_range_mean = 0;  ///< mean range of two beside sigma
  double moving_range_limit = 0; ///< upper limit of a range of two beside their mean
  double ewma_lambda = 0;
  double core_lag_least_step = 0;    ///< sigma is never taken smaller: minutes
  double come_up_least_step = 0;     ///< minutes
  double margin_least_step = 0;      ///< decades
  double hold_margin_least_step = 0; ///< minutes
  double plateau_least_step = 0;     ///< K
  int early_day = 0;
  int inoculation_day = 0;
  double whole_load_share = 0;
  int least_outcome_runs = 0;
  int least_bad_per_slope = 0;
  double most_alike = 0;  ///< correlation of heat and lag
  double strip_doubt = 0; ///< chance
  bool operator==(const TrendFigures&) const = default;
};

/// Throws UserError with every fault of the table.
[[nodiscard]] TrendFigures read_trend_figures(std::string_view source_name, std::string_view csv);
[[nodiscard]] TrendFigures read_trend_figures(const TableFiles& tables);

} // namespace coldbag
