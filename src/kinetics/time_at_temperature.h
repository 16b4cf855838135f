// How long a trace spent at each temperature: enough for F against any reference, afterwards.
#pragma once

#include "kinetics/hold.h"
#include "kinetics/lethality.h"

#include <cstdint>
#include <vector>

namespace coldbag {

/// Time by temperature, on nodes 1/32 K apart from -60 to 310 degC; what lies outside counts at the end. A
/// straight segment spends its time evenly between its ends; the time in each cell goes to the two nodes
/// beside it so that its mean temperature is kept. F of any reference is then one sum over the nodes,
/// corrected for the curve of the rate inside a cell. Against the exact integral it is good to (w ln10/z)^2/8
/// of F where a trace stands still (7e-6 at z 10 K), and far better where it moves: for figures that are
/// shown, not judged. Whole numbers of 2^-40 s are added, so no order changes a digit.
class TimeAtTemperature {
 public:
  /// From a reading to the next. A gap counts at its lower end; a broken stretch counts nothing.
  void take(double dt_s, double t1_degC, double t2_degC, Join join);

  /// F in minutes of the trace moved by `shift_K`, cut-offs of the reference applied.
  [[nodiscard]] double F_minutes(const Reference& reference, double shift_K) const;

 private:
  void put(double dt_s, double low, double high); // in cells

  std::vector<std::int64_t> nodes_; // empty until the first reading
};

} // namespace coldbag
