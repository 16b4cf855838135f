// Whether two columns of a log are one record written twice.
#pragma once

#include "probes/check_limits.h"

#include <optional>

namespace coldbag {

/// Follows two columns, reading by reading as written (without corrections).
class CopyWatch {
 public:
  /// How far both agreed.
  struct Seen {
    double from_s = 0;
    double to_s = 0;
    int readings = 0;
    bool operator==(const Seen&) const = default;
  };

  void take(double time_s, double one, double other, const CheckLimits& limits) {
    if (one == other)
      agree(time_s, one, limits);
    else
      run_ = 0;
  }
  /// A row in which only one of them was read.
  void apart() { run_ = 0; }
  /// The longest stretch over the limits in which both were equal to the last digit while they moved.
  [[nodiscard]] const std::optional<Seen>& seen() const { return seen_; }

 private:
  void agree(double time_s, double value, const CheckLimits& limits);

  std::optional<Seen> seen_;
  int run_ = 0;
  int changes_ = 0;
  double from_s_ = 0, last_ = 0, lowest_ = 0, highest_ = 0;
};

} // namespace coldbag
