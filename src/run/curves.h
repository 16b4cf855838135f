// What the probes read and earned over a run, thinned for drawing.
#pragma once

#include "heatup/bag_model.h"
#include "probes/thinned.h"
#include "run/probe_meter.h"
#include "run/run_report.h"

#include <vector>

namespace coldbag {

/// A chart as wide as a page tells no more of them apart.
inline constexpr std::size_t most_curve_points = 512;

/// A probe on its way into a chart.
struct CurveBasis {
  const ProbeResult* result = nullptr;
  const ThinTrace* thin = nullptr;
  const std::vector<ProbeMeter::FMark>* F_marks = nullptr;
  double F_measured_minutes = 0; ///< as the marks count: the report's own figures have noise taken off
  double F_lower_measured_minutes = 0;
};

/// Every curve with at most most_curve_points of one width, each with the lowest and the highest reading of
/// its time: no extreme is lost. F grows to what the report says of the probe. Guarded by
/// tests/run/curves_test.cpp.
[[nodiscard]] Curves curves_of(const std::vector<CurveBasis>& probes);

/// Two histories of one bag from the same moment on, at most most_curve_points of them, the last included.
/// Times of both rise; where the lower one ends earlier its last moment stays.
[[nodiscard]] SlowestCurve slowest_curve(const std::string& bag, const BagHistory& likely,
                                         const BagHistory& lower);

} // namespace coldbag
