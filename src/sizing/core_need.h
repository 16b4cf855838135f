// What a treatment asks of the coldest core, followed while it warms.
#pragma once

#include "farm/treatment.h"
#include "kinetics/hold.h"
#include "kinetics/lethality.h"

#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace coldbag {

/// The part of a treatment that steam must bring to every core.
struct CoreNeed {
  std::optional<Reference> reference; ///< with its cut-off; none where no F is asked
  double F_minutes = 0;
  double setpoint_degC = 0;
  double hold_s = 0; ///< 0 where none is asked
  double ku_K = 0;   ///< how far a probe may read too high: the core counts so much colder
  bool operator==(const CoreNeed&) const = default;
};

/// The criteria "at least" that decide (on_miss "fail"): F, hold, time hot together, log reduction (F of its
/// organism is not asked here: named in `left_out`).
struct NeedOfTreatment {
  CoreNeed need;
  std::vector<std::string> left_out; ///< names of criteria that no plan can promise
};
/// boiling_degC: of the site, under which some setpoints follow. bag_kg: heavier bags may need more.
[[nodiscard]] NeedOfTreatment need_of(const Treatment& treatment, double boiling_degC, double bag_kg,
                                      double ku_K);

/// Adds up what one core earned against its need.
class NeedMeter {
 public:
  explicit NeedMeter(CoreNeed need) : need_(std::move(need)) {}
  /// From one moment to the next, straight; dt_s above 0.
  void take(double from_s, double dt_s, double from_degC, double to_degC);
  /// About how long it still takes if the core stays as it is, never less than that by much; 0 once met, none
  /// where it is not hot yet.
  [[nodiscard]] std::optional<double> left_s() const;
  [[nodiscard]] bool is_met() const { return met_at_s_.has_value(); }
  [[nodiscard]] std::optional<double> met_at_s() const { return met_at_s_; }
  [[nodiscard]] std::optional<double> hot_at_s() const {
    return hot_at_s_;
  }                                                             ///< the core itself, at the setpoint
  [[nodiscard]] double F_minutes() const { return F_minutes_; } ///< of the lowered core
  [[nodiscard]] double F_likely_minutes() const { return F_likely_minutes_; } ///< of the core as it is
  [[nodiscard]] double hold_s() const { return hold_s_; } ///< of the lowered core, unbroken

 private:
  CoreNeed need_;
  double F_minutes_ = 0;
  double F_likely_minutes_ = 0;
  double hold_s_ = 0;
  double last_degC_ = -1e9;
  std::optional<double> hot_at_s_;
  std::optional<double> met_at_s_;
};

} // namespace coldbag
