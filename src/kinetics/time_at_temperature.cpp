#include "kinetics/time_at_temperature.h"

#include <algorithm>
#include <cmath>

namespace coldbag {

namespace {

constexpr double cells_per_K = 32;
constexpr double lowest_degC = -60;
constexpr double highest_degC = 310;
constexpr auto cell_count = static_cast<std::size_t>((highest_degC - lowest_degC) * cells_per_K);
constexpr double units_per_s = 0x1p40;

double in_cells(double degC) {
  return (std::clamp(degC, lowest_degC, highest_degC) - lowest_degC) * cells_per_K;
}

// The chord of the rate across a cell over its mean there: what time spread evenly over a cell is overrated
// by.
double chord_over_mean(double z_K) {
  const double x = std::log(10.0) / (z_K * cells_per_K);
  return (1 + std::exp(x)) / 2 / (std::expm1(x) / x);
}

} // namespace

void TimeAtTemperature::put(double dt_s, double low, double high) {
  auto cell = std::min(static_cast<std::size_t>(low), cell_count - 1);
  const auto last = std::min(static_cast<std::size_t>(high), cell_count - 1);
  const auto add = [this](std::size_t at, double s, double upper_share) {
    const auto units = static_cast<std::int64_t>(s * units_per_s);
    const auto upper = static_cast<std::int64_t>(s * upper_share * units_per_s);
    nodes_[at] += units - upper;
    nodes_[at + 1] += upper;
  };
  if (cell == last) return add(cell, dt_s, (low + high) / 2 - static_cast<double>(cell));
  const double s_per_cell = dt_s / (high - low);
  const double first_share = static_cast<double>(cell) + 1 - low;
  add(cell, s_per_cell * first_share, 1 - first_share / 2);
  const auto whole = static_cast<std::int64_t>(s_per_cell * units_per_s);
  for (++cell; cell < last; ++cell) {
    nodes_[cell] += whole - whole / 2;
    nodes_[cell + 1] += whole / 2;
  }
  const double last_share = high - static_cast<double>(last);
  add(last, s_per_cell * last_share, last_share / 2);
}

void TimeAtTemperature::take(double dt_s, double t1_degC, double t2_degC, Join join) {
  if (join == Join::broken || join == Join::withheld || !(dt_s > 0)) return;
  if (nodes_.empty()) nodes_.resize(cell_count + 1);
  const double low = in_cells(std::min(t1_degC, t2_degC));
  put(dt_s, low, join == Join::gap ? low : in_cells(std::max(t1_degC, t2_degC)));
}

double TimeAtTemperature::F_minutes(const Reference& reference, double shift_K) const {
  // Rates of neighbouring nodes differ by one factor; the own rate is taken afresh now and then.
  constexpr std::size_t afresh_every = 32;
  const double step = std::exp(std::log(10.0) / (reference.z_K * cells_per_K));
  double units = 0;
  double rate = 0;
  std::size_t next_afresh = 0;
  for (std::size_t i = 0; i < nodes_.size(); ++i, rate *= step) {
    if (nodes_[i] == 0) continue;
    const double degC = lowest_degC + static_cast<double>(i) / cells_per_K + shift_K;
    if (reference.lowest_degC && degC < *reference.lowest_degC) continue;
    const bool is_capped = reference.highest_degC && degC > *reference.highest_degC;
    if (i >= next_afresh || is_capped) {
      rate = lethal_rate(degC, reference);
      next_afresh = i + afresh_every;
    }
    units += static_cast<double>(nodes_[i]) * rate;
  }
  return units / units_per_s / 60 / chord_over_mean(reference.z_K);
}

} // namespace coldbag
