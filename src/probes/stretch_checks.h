// Faults that last for a stretch of one probe's trace, found while the readings arrive.
#pragma once

#include "probes/check_limits.h"
#include "probes/company.h"
#include "probes/fault.h"

#include <array>
#include <deque>
#include <limits>
#include <optional>
#include <vector>

namespace coldbag {

/// What the checks know of a probe beforehand.
struct StretchRule {
  ProbeRole role = ProbeRole::unstated;
  double ends_at_s =
      std::numeric_limits<double>::infinity(); ///< the load was opened: nothing counts from here
  CheckLimits limits;
};

/// A reading on which the checks have made up their mind.
struct CheckedReading {
  enum class Kind {
    credited,
    withheld, ///< faulty: earns nothing
    silent    ///< no reading, only the time up to which a dropout lasted
  };
  double time_s = 0;
  double degC = 0;
  Kind kind = Kind::credited;
};

/// Looks for out_of_range, stuck, spike, jump and dropout. A reading is handed on as soon as it is settled:
/// at once where nothing is amiss; after `spike_readings` more readings behind a step; after `stuck_s` (and
/// stuck_noise_readings) while a value stands still. It looks back three readings and 32 readings' mean
/// roughness. What each check asks: docs/mathematics/probe-checks.md. Guarded by
/// tests/probes/stretch_checks_test.cpp.
class StretchChecks {
 public:
  explicit StretchChecks(StretchRule rule) : rule_(rule) {}

  /// The next reading; settled ones are added to `out` in the order of their times.
  void take(double time_s, double degC, const Company& company, std::vector<CheckedReading>& out);
  /// A row without a reading of this probe.
  void silent(double time_s, const Company& company);
  /// The trace ends here: settles what is held back.
  void finish(std::vector<CheckedReading>& out);

  /// In the order in which they ended, at most the first 100; the effect of the others is the same.
  [[nodiscard]] const std::vector<Fault>& faults() const { return faults_; }
  /// Smallest step between two values, or between two such steps: the resolution, or less. 0 where no
  /// value changed.
  [[nodiscard]] double resolution_K() const { return resolution_K_; }

 private:
  using Out = std::vector<CheckedReading>;
  enum class Doubt { none, step, displaced, stuck };

  void add_fault(const char* kind, double from_s, double to_s, SaidValues values);
  void settle(CheckedReading::Kind kind, Out& out);
  void end_silence(double now_s, Out& out);
  void end_out_of_range();
  void end_stuck();
  void end_displaced();
  void end_doubt(Out& out);
  void follow(double time_s, double degC, const Company& company, Out& out);
  void stand_still(double time_s, double degC, const Company& company, Out& out);
  [[nodiscard]] bool is_stuck(double now_s, const Company& company) const;
  [[nodiscard]] bool company_moved(const Company& company) const;
  [[nodiscard]] bool is_step(double time_s, double degC, const Company& company) const;
  [[nodiscard]] bool is_lone(double step_K, const Company& company) const;
  void weigh_step(const Company& company, Out& out);
  [[nodiscard]] bool is_jump(const Company& company) const;
  void remember(double time_s, double degC);

  StretchRule rule_;
  std::vector<Fault> faults_;
  std::deque<CheckedReading> held_;
  Doubt doubt_ = Doubt::none;

  bool has_last_ = false;
  double last_s_ = 0, last_degC_ = 0;
  std::array<double, 3> steps_K_{}; ///< of the last readings, size only
  double last_step_K_ = 0;          ///< with its sign
  double roughness_K_ = 0;          ///< running mean of second differences
  double resolution_K_ = 0;
  double past_s_ = 0, past_degC_ = 0; ///< a reading stuck_s or more before the last, at most twice that
  double next_past_s_ = 0, next_past_degC_ = 0;

  // While a value stands still.
  int run_ = 0;
  double run_from_s_ = 0, run_roughness_K_ = 0, run_rise_K_ = 0;
  std::optional<double> run_steam_degC_;
  std::vector<std::optional<double>> run_bags_degC_;

  // While a step is in doubt, or has displaced the probe.
  std::optional<double> beside_degC_; ///< hottest other probe in the steam, beside the last reading
  bool is_lone_ = false;              ///< the step was this probe's alone
  double base_s_ = 0, base_degC_ = 0, step_K_ = 0;
  std::array<double, 3> steps_before_K_{};

  bool ended_in_doubt_ = false; ///< when the load was opened

  // Out of range.
  bool is_out_ = false;
  double out_from_s_ = 0, out_to_s_ = 0, out_degC_ = 0;

  int silent_rows_ = 0;
  double silent_from_s_ = 0, silent_to_s_ = 0;
};

} // namespace coldbag
