// Everything that is watched for danger in one run: each probe, each gauge, and what two of them say
// together.
#pragma once

#include "run/danger_meter.h"
#include "run/run_input.h"

#include <vector>

namespace coldbag {

/// Highest temperature for the film of a filled bag: what the site file says, else the table; nothing where
/// neither does.
[[nodiscard]] std::optional<double> film_limit_degC(const RunInput& input, const Bag& bag);
/// False where the user said not to rely on the probe.
[[nodiscard]] bool is_watched(const RunInput& input, const RunProbe& probe);

/// Rows go in as they come, in any order between logs; what was seen can be asked at any time.
class Dangers {
 public:
  explicit Dangers(const RunInput& input);
  /// Rows of one log within the run's time; the input must be the one it was built from.
  void take(const RunInput& input, int log, const RowBlock& block);

  /// Of a probe or a gauge by its place in RunInput::probes.
  [[nodiscard]] DangerSeen probe(std::size_t index) const { return meters_[index].seen(); }
  [[nodiscard]] PressureSeen gauge(std::size_t index) const { return gauges_[index].seen(); }

  /// A gauge and a probe in the steam, or two probes in the steam.
  struct Pair {
    std::size_t first = 0;
    std::size_t second = 0;
    std::optional<OverSeen> over; ///< kelvin that the gauge's steam is hotter, or that the two lie apart
  };
  [[nodiscard]] std::vector<Pair> air(const RunInput& input) const { return seen_in(input, air_); }
  [[nodiscard]] std::vector<Pair> disagreement(const RunInput& input) const { return seen_in(input, apart_); }

  /// Gauge pressure, Pa, and temperature of the first gauge and the first steam probe that stand in two logs:
  /// each reading of the gauge with the probe's nearest in time, within the longer of the two intervals.
  /// Empty where none do.
  [[nodiscard]] std::vector<TimedPair> gauge_in_another_log(const RunInput& input) const;

  /// Pressure outside: the site's, else that at sea level.
  [[nodiscard]] static double outside_Pa(const RunInput& input);

 private:
  struct Watch {
    std::size_t first = 0;
    std::size_t second = 0;
    OverMeter over;
  };
  [[nodiscard]] double apart_K(const RunInput& input, const Watch& watch, double first, double second) const;
  void take_pair(const RunInput& input, Watch& watch, int log, const RowBlock& block);
  [[nodiscard]] std::vector<Pair> seen_in(const RunInput& input, const std::vector<Watch>& watches) const;
  [[nodiscard]] std::vector<TimedPair> paired(const RunInput& input, const Watch& watch) const;
  [[nodiscard]] static double value_at(const RunInput& input, std::size_t index, double raw);

  std::vector<DangerMeter> meters_;   ///< one for each column; those of pressure columns stay idle
  std::vector<PressureMeter> gauges_; ///< likewise
  std::vector<Watch> air_, apart_;
  std::vector<std::vector<TimedValue>> kept_; ///< readings of columns whose partner stands in another log
  std::vector<bool> is_kept_;
  double air_watched_from_degC_ = 0;
  double apart_watched_from_degC_ = 0;
};

} // namespace coldbag
