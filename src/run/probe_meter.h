// All that is measured of one probe under one treatment while its readings arrive.
#pragma once

#include "kinetics/exposure.h"
#include "kinetics/guarded_hold.h"
#include "kinetics/hold.h"
#include "kinetics/noise.h"
#include "kinetics/running_mean.h"
#include "kinetics/time_at_temperature.h"

#include <limits>
#include <optional>
#include <vector>

namespace coldbag {

/// What is measured, and by which rules of credit.
struct ProbeMeterRule {
  Reference reference;                    ///< without cut-off
  std::optional<double> counts_from_degC; ///< cut-off of the criterion
  double setpoint_degC = 0;
  bool has_strict_hold = true;  ///< false: of the strict stretches only the estimate is measured
  double ku_K = 0;              ///< k u: how far the trace is moved for its bounds
  double break_below_degC = 60; ///< colder than this after being warm, a run is over
  double join_s = 300;
  double gap_s = 1800;
  double interval_s = 60;
  double unseen_from_s = 120;           ///< a step longer than this hides what the bag did meanwhile
  std::optional<double> steam_off_at_s; ///< stated
  double credit_ends_at_s = std::numeric_limits<double>::infinity();
  /// Moved then; nothing is credited after.
  double elsewhere_from_s = std::numeric_limits<double>::infinity();
  std::vector<Reference> more;            ///< further references: cook values, organisms
  bool keeps_time_at_temperature = false; ///< for the organisms that are shown
  std::vector<double> levels_degC;        ///< for minutes at or above
};

/// The lower bound lies a full k u under the estimate; these are steps on the way, to tell how well a probe
/// would have to be known.
inline constexpr int bound_steps = 4;

/// Time between two readings that lie further apart than a log's own interval, within a stretch that counts.
struct Unseen {
  double s = 0;
  int gaps = 0;
  bool operator==(const Unseen&) const = default;
};

/// Everything measured so far. Minutes are as measured: noise and hand-written times are for the caller to
/// take off.
struct ProbeMeasures {
  double F_minutes = 0;
  double F_minutes_all = 0;
  double F_possible_minutes = 0;
  double F_upper_minutes = 0;
  std::vector<double> F_step_minutes; ///< at j/4 of k u below, j = 0..4; the last is the lower bound
  double F_after_steam_off_minutes = 0;
  std::vector<double> F_band_minutes;
  std::vector<double> more_minutes, more_lower_minutes, more_upper_minutes, more_possible_minutes;
  Stretch hold;
  Stretch strict_hold;
  Stretch hold_lower, strict_lower; ///< longest stretch at the lower bound
  double hold_total_s = 0;
  double hold_possible_s = 0;
  std::vector<double> hold_step_s; ///< as F_step_minutes
  std::vector<double> strict_step_s;
  std::optional<Stretch> open_lower, open_strict_lower; ///< stretch open at the end, at the lower bound
  std::vector<double> level_s, level_lower_s, level_upper_s,
      level_longest_s;                   ///< raw readings at or above each level
  TimeAtTemperature time_at_temperature; ///< where the rule asks for it
  std::vector<Stretch> runs;             ///< stretches between two breaks, at most the first 100
  double noise_K = 0;
  std::vector<Stretch> unseen; ///< steps that nobody saw inside though they earn credit, in order of time
  double not_credited_s = 0;
  double unwatched_s = 0; ///< of it, what began or ended within 10 K of the setpoint or above
  std::optional<double> withheld_top_degC; ///< highest faulty reading
  bool faulty_to_the_end = false;          ///< for longer than gap_s: nothing bounds how hot it became
  std::optional<double> top_degC, hot_at_s, near_top_at_s, first_degC, last_degC;
  double first_s = 0;
  double last_s = 0;
  double plateau_degC = 0;        ///< highest running mean
  double last_mean_degC = 0;      ///< running mean at the end
  double last_near_plateau_s = 0; ///< last time within 2 K of the plateau
};

/// The unseen steps that lie in a stretch, cut to it.
[[nodiscard]] Unseen unseen_within(const std::vector<Stretch>& unseen, const Stretch& stretch);

class ProbeMeter {
 public:
  explicit ProbeMeter(ProbeMeterRule rule);
  void take(double time_s, double degC);
  /// A row of its log in which the probe said nothing.
  void take_silence(double time_s);
  /// The log's clock jumped before the next reading: what lies between earns nothing, however short it seems.
  void break_here() { clock_broke_ = true; }
  /// A faulty reading, or (without one) the time up to which the probe was silent through a fault: earns
  /// nothing. A stretch that is hot on both sides goes on over it where it is no longer than gap_s.
  void withhold(double time_s, std::optional<double> degC);
  /// What has been measured up to the last reading; changes nothing.
  [[nodiscard]] ProbeMeasures measures() const;
  [[nodiscard]] const ProbeMeterRule& rule() const { return rule_; }
  [[nodiscard]] double noise_K() const { return noise_.noise_K(); }
  /// F with the cut-off earned up to a time: at the last mark before it (marks are a minute apart or more).
  [[nodiscard]] double F_minutes_until(double time_s) const;
  /// F with the cut-off as it grew, with its lower bound; a minute apart or more.
  struct FMark {
    double time_s;
    double F_minutes;
    double F_lower_minutes;
  };
  [[nodiscard]] const std::vector<FMark>& F_marks() const { return marks_; }

 private:
  struct Top {
    double time_s;
    double degC;
  };
  void credit(double time_s, double degC);
  void add_segment(double dt_s, double t1_degC, double t2_degC, Join join);
  void smooth(const RunningMean::Reading& reading);
  void see(double time_s, double degC);
  void follow_runs(double time_s, double degC);
  void count_withheld_as(double from_s, double to_s, double degC);

  ProbeMeterRule rule_;
  RunningMean mean_;
  NoiseMeter noise_;
  ExposureMeter F_; ///< shifts: the steps of the bound, then k u up
  LethalSum after_steam_off_;
  BandMeter bands_;
  TimeAtTemperature time_at_temperature_;
  std::vector<ExposureMeter> more_; ///< shifts: none, k u down, k u up
  std::vector<GuardedHold> hold_step_;
  std::vector<HoldMeter> strict_step_;
  HoldMeter hold_possible_;
  std::vector<HoldMeter> level_, level_lower_, level_upper_;
  std::vector<FMark> marks_;
  std::vector<Stretch> runs_;
  std::vector<Stretch> unseen_;
  std::vector<Top> tops_;
  std::optional<double> silent_from_s_; ///< before the first reading
  double last_row_s_ = 0;
  bool has_last_ = false;
  bool is_warm_ = false;
  bool credit_ended_ = false;
  bool clock_broke_ = false;
  bool faulty_to_the_end_ = false; ///< up to where credit ended
  bool is_withheld_ = false;       ///< since the last reading that counted
  double withheld_from_s_ = 0, withheld_to_s_ = 0;
  std::optional<double> withheld_top_degC_;
  double last_s_ = 0, last_degC_ = 0, first_s_ = 0, first_degC_ = 0, not_credited_s_ = 0, unwatched_s_ = 0;
  double top_degC_ = -std::numeric_limits<double>::infinity();
  double plateau_degC_ = -std::numeric_limits<double>::infinity();
  double last_mean_degC_ = 0, last_near_plateau_s_ = 0;
};

} // namespace coldbag
