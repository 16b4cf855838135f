// Where a chart's axes have their marks, and where its labels go.
#pragma once

#include "run/run_report.h"

#include <string>
#include <vector>

namespace coldbag {

/// Marks of an axis of values, at 1, 2 or 5 times a power of ten, all within its ends.
struct ValueAxis {
  double low = 0;
  double high = 1;
  std::vector<double> marks;
  int decimals = 0; ///< that tell the marks apart
  bool operator==(const ValueAxis&) const = default;
};

/// The axis that holds both values with a mark at or beyond each end, in about `most_marks` marks; two equal
/// values get an axis of one.
[[nodiscard]] ValueAxis value_axis(double lowest, double highest, int most_marks);

struct TimeMark {
  double at_s = 0;
  std::string text; ///< "18:30"; hours since the first reading where there is no clock
  std::string day;  ///< "2026-03-05" at the first mark of a day, else ""
  bool operator==(const TimeMark&) const = default;
};

/// Marks at round times of the site's clock, at most `most_marks`. Where the clock is put on or back between
/// two of them they are still at round times.
[[nodiscard]] std::vector<TimeMark> time_marks(const RunClock& clock, double from_s, double to_s,
                                               int most_marks);

/// Middles of labels of one height along a line, each as near as may be to where it is wanted: in the same
/// order, none over another, none beyond the ends. Where they have no room they lie as close as they must,
/// within the ends.
[[nodiscard]] std::vector<double> spread_labels(const std::vector<double>& wanted, double height, double low,
                                                double high);

/// Rows for labels side by side on a line, so that none in a row touches another: the row of each, from 0.
/// `left` rises.
[[nodiscard]] std::vector<int> rows_of_labels(const std::vector<double>& left,
                                              const std::vector<double>& width, double gap);

} // namespace coldbag
