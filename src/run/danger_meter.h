// What one probe or gauge shows of danger, remembered while its readings arrive. Raw corrected readings: no
// uncertainty, no gap and no rule of credit stands between a reading and a warning.
#pragma once

#include "kinetics/hold.h"
#include "run/caution_tables.h"

#include <deque>
#include <limits>
#include <optional>
#include <vector>

namespace coldbag {

/// What was seen over a limit.
struct OverSeen {
  Stretch first;   ///< the first stretch that counts, from its first reading over the limit to its last
  Stretch longest; ///< the longest one
  double highest = 0;
  double highest_at_s = 0;
  bool goes_on = false; ///< the last reading is over the limit, in a stretch that counts
  bool operator==(const OverSeen&) const = default;
};

/// Watches one value against a limit. A stretch of readings over it counts once it has lasted `held_s` from
/// its first reading to its last; one reading is enough where the reading before or after it lies more than
/// `held_s` away.
class OverMeter {
 public:
  OverMeter(double limit, double held_s) : limit_(limit), held_s_(held_s) {}
  void take(double time_s, double value);
  [[nodiscard]] const std::optional<OverSeen>& seen() const { return seen_; }
  [[nodiscard]] double limit() const { return limit_; }

 private:
  void count();
  double limit_;
  double held_s_;
  std::optional<OverSeen> seen_;
  bool has_last_ = false;
  bool is_open_ = false;
  bool counts_ = false;
  bool is_first_ = false;
  double last_s_ = 0;
  Stretch open_;
  double open_highest_ = 0;
  double open_highest_at_s_ = 0;
};

/// The steepest fall of a value, over steps of at least `window_s` (one step where readings lie further
/// apart).
struct FallSeen {
  double per_s = 0;
  double from = 0; ///< value at the start of that step
  double from_s = 0;
  bool operator==(const FallSeen&) const = default;
};
class FallMeter {
 public:
  explicit FallMeter(double window_s) : window_s_(window_s) {}
  /// Steps that begin under `counts_from` are passed over.
  void take(double time_s, double value, double counts_from);
  [[nodiscard]] const std::optional<FallSeen>& steepest() const { return steepest_; }

 private:
  struct Reading {
    double time_s;
    double value;
  };
  double window_s_;
  std::deque<Reading> recent_; ///< the first is the newest that is at least a window old
  std::optional<FallSeen> steepest_;
};

/// The last reading at or before a moment and the first after it.
struct AroundMoment {
  double at_s = 0;
  std::optional<double> before, after;
  double before_s = 0, after_s = 0;
  bool operator==(const AroundMoment&) const = default;
  /// The reading that tells of the moment: the one before it, else the one after, where it is no further
  /// than this.
  [[nodiscard]] std::optional<double> reading(double reach_s) const;
};

/// Limits and moments that a temperature probe is watched for.
struct DangerRule {
  CautionLimits limits;
  double boiling_degC = 100; ///< at the pressure outside
  double outside_Pa = 101325;
  std::optional<double> rating_gauge_Pa;
  std::optional<double> film_degC;      ///< lowest limit of the films in the vessel
  std::vector<double> moments_s;        ///< of stated events
  std::vector<Stretch> vent_shut;       ///< as stated
  std::optional<double> steam_off_at_s; ///< as stated
};

/// When the trace shows steam coming, going, let out and gone cold.
struct TraceMoments {
  std::optional<double> rose_at_s;    ///< last reading within 1 K of the first, before it was 5 K over it
  std::vector<double> fell_fast_at_s; ///< beginnings of falls as fast as an opening, at most 20
  std::optional<double> cooled_at_s;  ///< first reading of the last stretch at or below the limit
  bool operator==(const TraceMoments&) const = default;
};

/// What a temperature probe showed.
struct DangerSeen {
  int readings = 0;
  double first_s = 0, last_s = 0;
  double lowest_degC = std::numeric_limits<double>::infinity();
  double highest_degC = -std::numeric_limits<double>::infinity();
  double highest_at_s = 0;
  Stretch longest_silence;                 ///< between two readings
  std::optional<double> out_of_range_at_s; ///< first reading that no steam can explain
  double out_of_range_degC = 0;
  std::optional<OverSeen> over_boiling, near_rating, over_rating, over_film, over_surface, surface_at_once;
  std::optional<FallSeen> pressure_fall; ///< of the implied pressure, Pa
  std::optional<OverSeen> vacuum;        ///< implied pressure under that outside, Pa, vents shut
  std::vector<AroundMoment> moments;
  TraceMoments trace;
};

class DangerMeter {
 public:
  explicit DangerMeter(DangerRule rule);
  void take(double time_s, double degC);
  [[nodiscard]] DangerSeen seen() const;

 private:
  void follow_pressure(double time_s, double degC);
  void follow_vacuum(double time_s, double degC);
  void follow_trace(double time_s, double degC);
  [[nodiscard]] bool is_vent_shut(double time_s) const;

  DangerRule rule_;
  DangerSeen seen_;
  OverMeter over_boiling_, over_surface_, surface_at_once_, vacuum_;
  std::optional<OverMeter> near_rating_, over_rating_, over_film_;
  FallMeter fall_;
  double fall_counts_from_Pa_ = 0;
  double first_degC_ = 0;
  double last_low_s_ = 0;
  bool was_hot_ = false;
  bool in_fast_fall_ = false;
  bool is_cool_ = false;
  struct Reading {
    double time_s;
    double degC;
  };
  std::deque<Reading> hottest_; ///< falling readings within the time of an opening's fall
};

/// False for a pressure that no gauge of a steam vessel can mean: under 1 kPa or over 20 MPa absolute
/// (assumed).
[[nodiscard]] bool is_readable_Pa(double abs_pressure_Pa);

/// What a pressure column showed, as gauge pressure.
struct PressureSeen {
  int readings = 0;
  std::optional<OverSeen> over_boiling; ///< pressure at which water boils over the limit
  std::optional<OverSeen> near_rating, over_rating, vacuum;
  std::optional<FallSeen> fall;
  std::vector<AroundMoment> moments;
};

class PressureMeter {
 public:
  explicit PressureMeter(DangerRule rule);
  void take(double time_s, double gauge_Pa);
  [[nodiscard]] PressureSeen seen() const;

 private:
  DangerRule rule_;
  PressureSeen seen_;
  OverMeter over_boiling_, vacuum_;
  std::optional<OverMeter> near_rating_, over_rating_;
  FallMeter fall_;
};

/// Two series at different times: each reading of the one with the nearest reading of the other, where that
/// is no further than `within_s`.
struct TimedValue {
  double time_s;
  double value;
};
struct TimedPair {
  double time_s; ///< of the first series
  double first;
  double second;
};
[[nodiscard]] std::vector<TimedPair> nearest_pairs(const std::vector<TimedValue>& first,
                                                   const std::vector<TimedValue>& second, double within_s);

} // namespace coldbag
