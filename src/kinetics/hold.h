// Hold: how long a trace stayed at or above a setpoint, unbroken and in all.
#pragma once

#include <optional>

namespace coldbag {

/// A stretch at or above the setpoint.
struct Stretch {
  double from_s = 0;
  double to_s = 0;
  double withheld_s = 0; ///< time inside it that earns nothing: a fault that did not break it
  [[nodiscard]] double length_s() const { return to_s - from_s - withheld_s; }
  bool operator==(const Stretch&) const = default;
};

/// What lies between two neighbouring readings; each costs at least as much as the one before it.
enum class Join {
  linear,   ///< temperature runs straight; crossings are interpolated
  gap,      ///< counts at its lower end; no crossing inside
  withheld, ///< a short fault: no credit, but a stretch that is hot on both sides goes on
  broken    ///< no credit; every stretch ends before it
};

/// Follows one trace against one setpoint, reading by reading in time order.
class HoldMeter {
 public:
  explicit HoldMeter(double setpoint_degC) : setpoint_degC_(setpoint_degC) {}

  /// A reading, and what lies between it and the one before (ignored for the first).
  void take(double time_s, double t_degC, Join join_before);
  /// Ends the open stretch here; the next reading starts afresh.
  void stop();

  [[nodiscard]] double setpoint_degC() const { return setpoint_degC_; }
  [[nodiscard]] Stretch longest() const;
  [[nodiscard]] double total_s() const;
  /// The stretch that is open at the last reading.
  [[nodiscard]] std::optional<Stretch> open() const;
  /// First time at or above the setpoint.
  [[nodiscard]] std::optional<double> hot_at_s() const { return hot_at_s_; }

 private:
  void begin(double at_s);
  void end(double at_s);

  double setpoint_degC_;
  double last_time_s_ = 0;
  double last_degC_ = 0;
  bool has_last_ = false;
  bool is_open_ = false;
  double open_from_s_ = 0;
  double open_withheld_s_ = 0;
  double closed_total_s_ = 0;
  Stretch longest_;
  std::optional<double> hot_at_s_;
};

} // namespace coldbag
