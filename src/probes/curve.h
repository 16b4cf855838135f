// A thinned trace as a curve: its means, joined by straight lines, and how one curve lags behind another.
#pragma once

#include "probes/thinned.h"

#include <optional>
#include <vector>

namespace coldbag {

class Curve {
 public:
  struct Point {
    double time_s = 0; ///< middle of the bucket
    double degC = 0;
  };
  enum class From {
    all_readings,
    credited_alone ///< buckets in which every reading was credited
  };
  Curve(const ThinTrace& trace, From from);

  [[nodiscard]] bool is_empty() const { return points_.empty(); }
  [[nodiscard]] const std::vector<Point>& points() const { return points_; }
  [[nodiscard]] double starts_s() const { return points_.front().time_s; }
  [[nodiscard]] double ends_s() const { return points_.back().time_s; }
  /// Between two points by a straight line; outside them the first or last value.
  [[nodiscard]] double at(double time_s) const;
  /// Mean of the points between two times; none where there is none.
  [[nodiscard]] std::optional<double> mean(double from_s, double to_s) const;
  [[nodiscard]] double top_degC() const { return top_degC_; }
  /// First and last time within `under_K` of the top.
  [[nodiscard]] double near_top_from_s(double under_K) const;
  [[nodiscard]] double near_top_to_s(double under_K) const;
  /// Begin of the last plateau: near its top since then, but for falls of less than `fall_K`.
  [[nodiscard]] double plateau_from_s(double under_K, double fall_K) const;

 private:
  std::vector<Point> points_;
  double top_degC_ = 0;
};

/// How far a curve stays behind another that warms: area between them, until both have come near their tops
/// (or the leader leaves it), by the rise of the leader. For a first-order lag under steady steam it is the
/// time constant. Negative where the follower leads.
struct Lag {
  double lag_s = 0;
  double leader_rise_K = 0;
  double follower_rise_K = 0;
  double apart_at_start_K = 0; ///< follower less leader; up to `most_apart_K` it is taken as their offset
};
[[nodiscard]] std::optional<Lag> lag_behind(const Curve& follower, const Curve& leader, double near_K,
                                            double most_apart_K);

} // namespace coldbag
