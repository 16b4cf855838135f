// The steam around a bag over time: what drives its heating.
#pragma once

#include <cstddef>
#include <vector>

namespace coldbag {

struct SteamPoint {
  double time_s = 0;
  double degC = 0;
  double abs_pressure_Pa = 0;
};

/// Straight lines between points. Means over a span are exact, and quick however many points there are.
class SteamTrace {
 public:
  /// At least two points, times rising, -40 to 200 degC, pressures 1,000 Pa to 2 MPa (checked).
  explicit SteamTrace(std::vector<SteamPoint> points);

  [[nodiscard]] const std::vector<SteamPoint>& points() const { return points_; }
  [[nodiscard]] double from_s() const { return points_.front().time_s; }
  [[nodiscard]] double to_s() const { return points_.back().time_s; }
  /// Before the first point and after the last their values stand.
  [[nodiscard]] SteamPoint at(double time_s) const;
  /// Means between two times, the first before the second (checked); time_s is the later of them.
  [[nodiscard]] SteamPoint mean(double from_s, double to_s) const;
  /// The same trace with every temperature moved by so much, pressure as it was.
  [[nodiscard]] SteamTrace moved(double by_K) const;

 private:
  struct Integral {
    double degC_s = 0;
    double Pa_s = 0;
  };
  [[nodiscard]] std::size_t segment(double time_s) const;
  [[nodiscard]] Integral integral_to(double time_s) const;
  std::vector<SteamPoint> points_;
  std::vector<Integral> sums_; ///< up to each point
};

} // namespace coldbag
