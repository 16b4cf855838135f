#include "probes/curve.h"

#include <algorithm>
#include <cmath>

namespace coldbag {

Curve::Curve(const ThinTrace& trace, From from) {
  const auto& buckets = trace.buckets();
  for (std::size_t i = 0; i < buckets.size(); ++i) {
    const ThinTrace::Bucket& bucket = buckets[i];
    if (bucket.count == 0 || (from == From::credited_alone && bucket.credited != bucket.count)) continue;
    points_.push_back({(static_cast<double>(i) + 0.5) * trace.width_s(), bucket.mean()});
  }
  for (const Point& point : points_)
    top_degC_ = &point == &points_.front() ? point.degC : std::max(top_degC_, point.degC);
}

double Curve::at(double time_s) const {
  const auto after = std::upper_bound(points_.begin(), points_.end(), time_s,
                                      [](double t, const Point& point) { return t < point.time_s; });
  if (after == points_.begin()) return points_.front().degC;
  if (after == points_.end()) return points_.back().degC;
  const Point& before = *(after - 1);
  return before.degC +
         (after->degC - before.degC) * ((time_s - before.time_s) / (after->time_s - before.time_s));
}

std::optional<double> Curve::mean(double from_s, double to_s) const {
  double sum = 0;
  int count = 0;
  for (const Point& point : points_) {
    if (point.time_s < from_s || point.time_s > to_s) continue;
    sum += point.degC;
    ++count;
  }
  return count == 0 ? std::nullopt : std::optional(sum / count);
}

double Curve::near_top_from_s(double under_K) const {
  const auto first = std::find_if(points_.begin(), points_.end(),
                                  [&](const Point& point) { return point.degC >= top_degC_ - under_K; });
  return first->time_s;
}

double Curve::near_top_to_s(double under_K) const {
  const auto last = std::find_if(points_.rbegin(), points_.rend(),
                                 [&](const Point& point) { return point.degC >= top_degC_ - under_K; });
  return last->time_s;
}

double Curve::plateau_from_s(double under_K, double fall_K) const {
  const double to_s = near_top_to_s(under_K);
  double from_s = to_s;
  for (auto point = points_.rbegin(); point != points_.rend(); ++point) {
    if (point->time_s > to_s) continue;
    if (point->degC < top_degC_ - fall_K) break;
    if (point->degC >= top_degC_ - under_K) from_s = point->time_s;
  }
  return from_s;
}

std::optional<Lag> lag_behind(const Curve& follower, const Curve& leader, double near_K,
                              double most_apart_K) {
  if (follower.is_empty() || leader.is_empty()) return std::nullopt;
  const double from_s = std::max(follower.starts_s(), leader.starts_s());
  const double arrived_s = std::max(follower.near_top_from_s(near_K), leader.near_top_from_s(near_K));
  const double to_s = std::min({arrived_s, leader.near_top_to_s(near_K), follower.ends_s()});
  if (to_s <= from_s) return std::nullopt;
  Lag lag;
  lag.apart_at_start_K = follower.at(from_s) - leader.at(from_s);
  lag.leader_rise_K = leader.top_degC() - leader.at(from_s);
  lag.follower_rise_K = follower.top_degC() - follower.at(from_s);
  const double offset_K = std::abs(lag.apart_at_start_K) <= most_apart_K ? lag.apart_at_start_K : 0;
  const auto apart_K = [&](double t) { return leader.at(t) + offset_K - follower.at(t); };
  double area_K_s = 0;
  double last_s = from_s;
  double last_K = apart_K(from_s);
  const auto add_to = [&](double t) {
    const double now_K = apart_K(t);
    area_K_s += (t - last_s) * (last_K + now_K) / 2;
    last_s = t;
    last_K = now_K;
  };
  for (const Curve::Point& point : leader.points())
    if (point.time_s > from_s && point.time_s < to_s) add_to(point.time_s);
  add_to(to_s);
  const double rise_K = std::max(lag.leader_rise_K, lag.follower_rise_K);
  if (rise_K <= 0) return std::nullopt;
  lag.lag_s = area_K_s / rise_K;
  return lag;
}

} // namespace coldbag
