#include "heatup/steam_trace.h"

#include "errors/our_fault.h"

#include <algorithm>
#include <utility>

namespace coldbag {

SteamTrace::SteamTrace(std::vector<SteamPoint> points) : points_(std::move(points)) {
  our_check(points_.size() >= 2, "a steam trace has at least two points");
  sums_.resize(points_.size());
  for (std::size_t i = 0; i < points_.size(); ++i) {
    const SteamPoint& p = points_[i];
    our_check(p.degC >= -40 && p.degC <= 200, "steam temperatures lie from -40 to 200 degC");
    our_check(p.abs_pressure_Pa >= 1e3 && p.abs_pressure_Pa <= 2e6,
              "steam pressures lie from 1 kPa to 2 MPa");
    if (i == 0) continue;
    const SteamPoint& q = points_[i - 1];
    const double dt = p.time_s - q.time_s;
    our_check(dt > 0, "times of a steam trace rise");
    sums_[i] = {sums_[i - 1].degC_s + dt * (p.degC + q.degC) / 2,
                sums_[i - 1].Pa_s + dt * (p.abs_pressure_Pa + q.abs_pressure_Pa) / 2};
  }
}

std::size_t SteamTrace::segment(double time_s) const {
  const auto after = std::upper_bound(points_.begin(), points_.end(), time_s,
                                      [](double t, const SteamPoint& p) { return t < p.time_s; });
  const auto index = static_cast<std::size_t>(after - points_.begin());
  return std::clamp<std::size_t>(index, 1, points_.size() - 1) - 1;
}

SteamPoint SteamTrace::at(double time_s) const {
  const std::size_t i = segment(time_s);
  const SteamPoint& p = points_[i];
  const SteamPoint& q = points_[i + 1];
  const double share = std::clamp((time_s - p.time_s) / (q.time_s - p.time_s), 0.0, 1.0);
  return {time_s, p.degC + share * (q.degC - p.degC),
          p.abs_pressure_Pa + share * (q.abs_pressure_Pa - p.abs_pressure_Pa)};
}

SteamTrace::Integral SteamTrace::integral_to(double time_s) const {
  if (time_s <= from_s()) {
    const SteamPoint& p = points_.front();
    return {(time_s - p.time_s) * p.degC, (time_s - p.time_s) * p.abs_pressure_Pa};
  }
  if (time_s >= to_s()) {
    const SteamPoint& p = points_.back();
    return {sums_.back().degC_s + (time_s - p.time_s) * p.degC,
            sums_.back().Pa_s + (time_s - p.time_s) * p.abs_pressure_Pa};
  }
  const std::size_t i = segment(time_s);
  const SteamPoint& p = points_[i];
  const SteamPoint now = at(time_s);
  const double dt = time_s - p.time_s;
  return {sums_[i].degC_s + dt * (p.degC + now.degC) / 2,
          sums_[i].Pa_s + dt * (p.abs_pressure_Pa + now.abs_pressure_Pa) / 2};
}

SteamPoint SteamTrace::mean(double from_s, double to_s) const {
  our_check(from_s < to_s, "a mean is taken over a span");
  const Integral a = integral_to(from_s);
  const Integral b = integral_to(to_s);
  const double dt = to_s - from_s;
  return {to_s, (b.degC_s - a.degC_s) / dt, (b.Pa_s - a.Pa_s) / dt};
}

SteamTrace SteamTrace::moved(double by_K) const {
  std::vector<SteamPoint> points = points_;
  for (SteamPoint& p : points)
    p.degC += by_K;
  return SteamTrace(std::move(points));
}

} // namespace coldbag
