#include "records/trend_figures.h"

#include "tables/figures.h"

#include <array>
#include <cmath>

namespace coldbag {

namespace {

constexpr std::string_view table_name = "trend-figures.csv";

constexpr std::array<FigureRule, 18> rules{{
    {"baseline_runs", "1", 8, 1000},
    {"come_up_least_step", "min", 1e-6, 1000},
    {"core_lag_least_step", "min", 1e-6, 1000},
    {"early_day", "days", 0, 1000},
    {"ewma_lambda", "1", 0.01, 1},
    {"hold_margin_least_step", "min", 1e-6, 1000},
    {"inoculation_day", "days", 0, 1000},
    {"least_bad_per_slope", "1", 1, 1000},
    {"least_outcome_runs", "1", 4, 1000},
    {"least_runs", "1", 4, 1000},
    {"limit_sigmas", "1", 1, 10},
    {"margin_least_step", "1", 1e-6, 10},
    {"most_alike", "1", 0, 1},
    {"moving_range_limit", "1", 1, 10},
    {"moving_range_mean", "1", 1, 2},
    {"plateau_least_step", "K", 1e-6, 10},
    {"strip_doubt", "1", 0, 1},
    {"whole_load_share", "1", 0, 1},
}};

int whole(double value) {
  return static_cast<int>(std::lround(value));
}

} // namespace

TrendFigures read_trend_figures(std::string_view source_name, std::string_view csv) {
  const Figures table = Figures::read(source_name, csv, rules);
  TrendFigures out;
  out.baseline_runs = whole(table.at("baseline_runs"));
  out.least_runs = whole(table.at("least_runs"));
  out.limit_sigmas = table.at("limit_sigmas");
  out.moving_range_mean = table.at("moving_range_mean");
  out.moving_range_limit = table.at("moving_range_limit");
  out.ewma_lambda = table.at("ewma_lambda");
  out.core_lag_least_step = table.at("core_lag_least_step");
  out.come_up_least_step = table.at("come_up_least_step");
  out.margin_least_step = table.at("margin_least_step");
  out.hold_margin_least_step = table.at("hold_margin_least_step");
  out.plateau_least_step = table.at("plateau_least_step");
  out.early_day = whole(table.at("early_day"));
  out.inoculation_day = whole(table.at("inoculation_day"));
  out.whole_load_share = table.at("whole_load_share");
  out.least_outcome_runs = whole(table.at("least_outcome_runs"));
  out.least_bad_per_slope = whole(table.at("least_bad_per_slope"));
  out.most_alike = table.at("most_alike");
  out.strip_doubt = table.at("strip_doubt");
  return out;
}

TrendFigures read_trend_figures(const TableFiles& tables) {
  return read_trend_figures(tables.source_name(table_name), tables.bytes(table_name));
}

} // namespace coldbag
