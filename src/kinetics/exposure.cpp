#include "kinetics/exposure.h"

#include <algorithm>

namespace coldbag {

namespace {

std::size_t band_of(double t_degC) {
  const auto* edge = std::upper_bound(band_edges_degC.begin(), band_edges_degC.end(), t_degC);
  return static_cast<std::size_t>(edge - band_edges_degC.begin());
}

} // namespace

ExposureMeter::ExposureMeter(const Reference& reference, const std::vector<double>& shifts_K)
    : plain_{reference.name, reference.at_degC, reference.z_K, std::nullopt, std::nullopt},
      has_cut_offs_(reference.lowest_degC || reference.highest_degC) {
  for (const double shift_K : shifts_K) {
    Moved moved{reference, 1, {}, {}};
    if (moved.reference.lowest_degC) *moved.reference.lowest_degC -= shift_K;
    if (moved.reference.highest_degC) *moved.reference.highest_degC -= shift_K;
    if (shift_K != 0) moved.factor = lethal_rate(plain_.at_degC + shift_K, plain_);
    moved_.push_back(moved);
  }
}

std::optional<double> ExposureMeter::take(double dt_s, double t1_degC, double t2_degC, Join join) {
  if (join != Join::linear) {
    take_gap(dt_s, t1_degC, t2_degC, join);
    return std::nullopt;
  }
  if (!has_cut_offs_) {
    const double minutes = segment_F_minutes(dt_s, t1_degC, t2_degC, plain_);
    moved_.front().credited.add_minutes(minutes);
    return minutes;
  }
  const double low_degC = std::min(t1_degC, t2_degC);
  const double high_degC = std::max(t1_degC, t2_degC);
  std::optional<double> whole_minutes;
  for (Moved& moved : moved_) {
    const Reference& reference = moved.reference;
    if (reference.lowest_degC && high_degC < *reference.lowest_degC) continue;
    const bool is_cut = (reference.lowest_degC && low_degC < *reference.lowest_degC) ||
                        (reference.highest_degC && high_degC > *reference.highest_degC);
    if (is_cut) {
      moved.credited.add_minutes(segment_F_minutes(dt_s, t1_degC, t2_degC, reference));
      continue;
    }
    if (!whole_minutes) whole_minutes = segment_F_minutes(dt_s, t1_degC, t2_degC, plain_);
    moved.credited.add_minutes(*whole_minutes);
  }
  return whole_minutes;
}

void ExposureMeter::take_gap(double dt_s, double t1_degC, double t2_degC, Join join) {
  for (Moved& moved : moved_) {
    const double low = dt_s / 60 * lethal_rate(std::min(t1_degC, t2_degC), moved.reference);
    const double high = dt_s / 60 * lethal_rate(std::max(t1_degC, t2_degC), moved.reference);
    if (join == Join::gap) moved.credited.add_minutes(low);
    moved.withheld.add_minutes(join == Join::gap ? high - low : high);
  }
}

double ExposureMeter::F_minutes(std::size_t shift) const {
  return counted(shift).credited.minutes() * moved_[shift].factor;
}

double ExposureMeter::F_possible_minutes(std::size_t shift) const {
  LethalSum both = counted(shift).credited;
  both.add(counted(shift).withheld);
  return both.minutes() * moved_[shift].factor;
}

void BandMeter::take(double dt_s, double t1_degC, double t2_degC, Join join,
                     std::optional<double> whole_minutes) {
  if (join == Join::broken || join == Join::withheld) return;
  double low_degC = std::min(t1_degC, t2_degC);
  const double high_degC = std::max(t1_degC, t2_degC);
  if (join == Join::gap) {
    bands_[band_of(low_degC)].add_minutes(dt_s / 60 * lethal_rate(low_degC, reference_));
    return;
  }
  if (whole_minutes && band_of(low_degC) == band_of(high_degC)) {
    bands_[band_of(low_degC)].add_minutes(*whole_minutes);
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

double BandMeter::total_minutes() const {
  LethalSum total;
  for (const LethalSum& band : bands_)
    total.add(band);
  return total.minutes();
}

} // namespace coldbag
