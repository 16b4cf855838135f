// Lethality: the rate at one temperature, its exact integral over a segment, and a sum that no order can
// change.
#pragma once

#include <optional>
#include <string>

namespace coldbag {

/// What a minute of lethality is measured against.
struct Reference {
  std::string name;                   ///< as the user meets it: "F0"
  double at_degC = 121.1;             ///< temperature at which the rate is 1
  double z_K = 10;                    ///< kelvin that change the rate tenfold; above 0
  std::optional<double> lowest_degC;  ///< below it nothing is earned; segments are split at the crossing
  std::optional<double> highest_degC; ///< above it the rate stays at its value there
  bool operator==(const Reference&) const = default;
};

/// L = 10^((T - Tref)/z), without unit; cut-offs of the reference are applied.
/// Own exp2 (no library call, no fused multiply-add): relative error below 2e-14 for |T - Tref| up to 20 z.
/// Bigelow (1921) as in Ball and Olson (1957), from memory; guarded by tests/published/lethality_test.cpp.
[[nodiscard]] double lethal_rate(double t_degC, const Reference& reference);

/// F earned, in minutes at the reference, over dt_s while the temperature runs straight from t1 to t2.
/// The integral is exact: dt L1 expm1(x)/x with x = ln10 (T2 - T1)/z; split where a cut-off is crossed.
/// dt_s at or above 0.
[[nodiscard]] double segment_F_minutes(double dt_s, double t1_degC, double t2_degC,
                                       const Reference& reference);

/// A segment counts for no more than this, about 127 years: a reference with a small z far below the trace
/// would else outgrow the sum, and what it says has no meaning there.
inline constexpr double most_minutes_in_segment = 0x1p26;

/// Adds segments so that no order, block or thread changes a digit: each is rounded once to a multiple of
/// 2^-80 minutes and added as a 128-bit integer. Room for two million segments at their largest.
class LethalSum {
 public:
  void add_minutes(double F_minutes);
  void add(const LethalSum& other) { sum_ += other.sum_; }
  [[nodiscard]] double minutes() const;
  bool operator==(const LethalSum&) const = default;

 private:
  __extension__ using Wide = __int128;
  Wide sum_ = 0;
};

} // namespace coldbag
