#include "run/curves.h"

#include "errors/our_fault.h"

#include <algorithm>
#include <cmath>

namespace coldbag {

namespace {

/// Of all probes: as narrow as the widest of their buckets lets it be, and the longest of them has room.
double common_width_s(const std::vector<CurveBasis>& probes) {
  double width_s = 1;
  double end_s = 0;
  for (const CurveBasis& one : probes) {
    width_s = std::max(width_s, one.thin->width_s());
    end_s = std::max(end_s, one.thin->width_s() * static_cast<double>(one.thin->buckets().size()));
  }
  // Widths double, so that buckets are joined whole.
  while (end_s > width_s * static_cast<double>(most_curve_points))
    width_s *= 2;
  return width_s;
}

/// How much of a figure that grows to `measured` is told, so that its end is what the report says.
double told_share(double told, double measured) {
  return measured > 0 ? told / measured : 0;
}

ProbeCurve readings_of(const CurveBasis& basis, double width_s) {
  ProbeCurve curve;
  curve.probe = basis.result->name;
  const std::vector<ThinTrace::Bucket>& buckets = basis.thin->buckets();
  const auto joined = static_cast<std::size_t>(std::lround(width_s / basis.thin->width_s()));
  for (std::size_t first = 0; first < buckets.size(); first += joined) {
    ThinTrace::Bucket all;
    for (std::size_t i = first; i < std::min(first + joined, buckets.size()); ++i) {
      const ThinTrace::Bucket& one = buckets[i];
      if (one.count == 0) continue;
      all.lowest = all.count == 0 ? one.lowest : std::min(all.lowest, one.lowest);
      all.highest = all.count == 0 ? one.highest : std::max(all.highest, one.highest);
      all.count += one.count;
      all.credited += one.credited;
    }
    if (all.count == 0) continue;
    curve.at_s.push_back(basis.thin->width_s() * static_cast<double>(first));
    curve.lowest_degC.push_back(all.lowest);
    curve.highest_degC.push_back(all.highest);
    curve.credited_share.push_back(all.credited_share());
  }
  return curve;
}

void add_F(ProbeCurve& curve, const CurveBasis& basis, double width_s) {
  const double share = told_share(basis.result->F_minutes, basis.F_measured_minutes);
  const double lower_share = told_share(basis.result->F_minutes_lower, basis.F_lower_measured_minutes);
  auto mark = basis.F_marks->begin();
  for (std::size_t i = 0; i < curve.at_s.size(); ++i) {
    while (mark != basis.F_marks->end() && mark->time_s < curve.at_s[i] + width_s)
      ++mark;
    const bool has_begun = mark != basis.F_marks->begin();
    curve.F_minutes.push_back(has_begun ? std::prev(mark)->F_minutes * share : 0);
    curve.F_minutes_lower.push_back(has_begun ? std::prev(mark)->F_lower_minutes * lower_share : 0);
  }
  if (curve.at_s.empty()) return;
  curve.F_minutes.back() = basis.result->F_minutes;
  curve.F_minutes_lower.back() = basis.result->F_minutes_lower;
}

/// Moves `at` on to the moment before a time, and gives the core between the two beside it.
double core_at(const std::vector<BagMoment>& moments, std::size_t& at, double time_s) {
  while (at + 2 < moments.size() && moments[at + 1].time_s < time_s)
    ++at;
  const BagMoment& a = moments[at];
  const BagMoment& b = moments[std::min(at + 1, moments.size() - 1)];
  if (b.time_s <= a.time_s) return b.core_degC;
  const double share = std::clamp((time_s - a.time_s) / (b.time_s - a.time_s), 0.0, 1.0);
  return a.core_degC + share * (b.core_degC - a.core_degC);
}

} // namespace

Curves curves_of(const std::vector<CurveBasis>& probes) {
  Curves out;
  if (probes.empty()) return out;
  out.width_s = common_width_s(probes);
  for (const CurveBasis& basis : probes) {
    ProbeCurve curve = readings_of(basis, out.width_s);
    add_F(curve, basis, out.width_s);
    out.probes.push_back(std::move(curve));
  }
  return out;
}

SlowestCurve slowest_curve(const std::string& bag, const BagHistory& likely, const BagHistory& lower) {
  our_check(!likely.moments.empty() && !lower.moments.empty(), "a bag was heated");
  SlowestCurve out;
  out.bag = bag;
  const double from_s = likely.moments.front().time_s;
  const double span_s = likely.moments.back().time_s - from_s;
  const std::size_t points = std::min(most_curve_points, likely.moments.size());
  std::size_t at = 0;
  std::size_t at_lower = 0;
  for (std::size_t i = 0; i < points; ++i) {
    const double share = points > 1 ? static_cast<double>(i) / static_cast<double>(points - 1) : 0;
    const double time_s = from_s + span_s * share;
    out.at_s.push_back(time_s);
    out.core_degC.push_back(core_at(likely.moments, at, time_s));
    out.core_lower_degC.push_back(core_at(lower.moments, at_lower, time_s));
  }
  return out;
}

} // namespace coldbag
