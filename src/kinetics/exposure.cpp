#include "kinetics/exposure.h"

#include <algorithm>

namespace coldbag {

namespace {

std::size_t band_of(double t_degC) {
  const auto* edge = std::upper_bound(band_edges_degC.begin(), band_edges_degC.end(), t_degC);
  return static_cast<std::size_t>(edge - band_edges_degC.begin());
}

} // namespace

void ExposureMeter::take(double dt_s, double t1_degC, double t2_degC, Join join) {
  const double from_degC = t1_degC + shift_K_;
  const double to_degC = t2_degC + shift_K_;
  if (join == Join::linear) {
    credited_.add_minutes(segment_F_minutes(dt_s, from_degC, to_degC, reference_));
    return;
  }
  const double low = dt_s / 60 * lethal_rate(std::min(from_degC, to_degC), reference_);
  const double high = dt_s / 60 * lethal_rate(std::max(from_degC, to_degC), reference_);
  if (join == Join::gap) credited_.add_minutes(low);
  withheld_.add_minutes(join == Join::gap ? high - low : high);
}

double ExposureMeter::F_possible_minutes() const {
  LethalSum both = credited_;
  both.add(withheld_);
  return both.minutes();
}

void BandMeter::take(double dt_s, double t1_degC, double t2_degC, Join join) {
  if (join == Join::broken) return;
  double low_degC = std::min(t1_degC, t2_degC);
  const double high_degC = std::max(t1_degC, t2_degC);
  if (join == Join::gap) {
    bands_[band_of(low_degC)].add_minutes(dt_s / 60 * lethal_rate(low_degC, reference_));
    return;
  }
  double left_s = dt_s;
  for (std::size_t band = band_of(low_degC); band < band_of(high_degC); ++band) {
    const double edge_degC = band_edges_degC[band];
    const double part_s = left_s * (edge_degC - low_degC) / (high_degC - low_degC);
    bands_[band].add_minutes(segment_F_minutes(part_s, low_degC, edge_degC, reference_));
    left_s -= part_s;
    low_degC = edge_degC;
  }
  bands_[band_of(high_degC)].add_minutes(segment_F_minutes(left_s, low_degC, high_degC, reference_));
}

std::vector<double> BandMeter::F_minutes() const {
  std::vector<double> result;
  for (const LethalSum& band : bands_)
    result.push_back(band.minutes());
  return result;
}

} // namespace coldbag
