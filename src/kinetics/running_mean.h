// A running mean centred on each reading, in one pass: what a hold is judged on.
#pragma once

#include "kinetics/hold.h"

#include <cstdint>
#include <vector>

namespace coldbag {

/// Length of the window for readings this far apart: five minutes, or ten readings where that is longer, at
/// most ten minutes.
[[nodiscard]] double mean_window_s(double interval_s);

/// Whether a mean over that window smooths at all: with fewer than three readings in it the raw ones stand.
[[nodiscard]] bool mean_smooths(double interval_s);

/// Smooths a trace. The window never reaches across a gap or the ends of the trace: there it shrinks evenly
/// on both sides. Where fewer than three readings fall in it, the raw reading stands. Sums are exact, so the
/// digits do not depend on how the readings arrive.
class RunningMean {
 public:
  struct Reading {
    double time_s = 0;
    double degC = 0;
    Join join_before = Join::broken;
    bool is_cut = false; ///< a gap cut its window short; set on the way out
  };

  explicit RunningMean(double window_s) : half_s_(window_s / 2) {}

  /// Says that the trace was silent before its first reading, which therefore stands beside a gap.
  void begin_after_gap() { after_gap_ = true; }

  /// Takes a reading and calls `give(Reading)` for every smoothed one that is settled by it.
  template <class Give>
  void take(const Reading& reading, Give&& give) {
    if (!held_.empty() && reading.join_before != Join::linear) finish(give, true);
    if (held_.empty()) start_piece(reading.time_s);
    held_.push_back({reading, exact(reading.degC)});
    while (next_ < held_.size() && held_[next_].reading.time_s + half_s_ <= reading.time_s)
      give_next(reading.time_s, give);
    drop_used();
  }
  /// Gives what is still held back: the trace ends here, or a gap begins.
  template <class Give>
  void finish(Give&& give, bool at_gap = false) {
    if (held_.empty()) return;
    const double end_s = held_.back().reading.time_s;
    gap_follows_ = at_gap;
    while (next_ < held_.size())
      give_next(end_s, give);
    gap_follows_ = false;
    after_gap_ = true;
    held_.clear();
  }

 private:
  __extension__ using Wide = __int128;
  struct Held {
    Reading reading;
    std::int64_t exact;
  };

  // Temperatures as whole multiples of 2^-36 K: 1.5e-11 K, far below any probe.
  static std::int64_t exact(double degC);
  void start_piece(double time_s);
  void drop_used();
  // The window of held_[next_] within the piece up to end_s, then its mean.
  double mean_of_next(double end_s);

  template <class Give>
  void give_next(double end_s, Give&& give) {
    Reading smoothed = held_[next_].reading;
    const double at_s = smoothed.time_s;
    smoothed.is_cut =
        (after_gap_ && at_s - piece_start_s_ < half_s_) || (gap_follows_ && end_s - at_s < half_s_);
    smoothed.degC = mean_of_next(end_s);
    ++next_;
    give(smoothed);
  }

  double half_s_;
  double piece_start_s_ = 0;
  bool after_gap_ = false;   ///< the piece is not the first
  bool gap_follows_ = false; ///< while a piece is given to its end
  std::vector<Held> held_;
  std::size_t next_ = 0; ///< first reading not yet given
  std::size_t from_ = 0; ///< window: first reading in it
  std::size_t to_ = 0;   ///< window: one past the last
  Wide sum_ = 0;
};

} // namespace coldbag
