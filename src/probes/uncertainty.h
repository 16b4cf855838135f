// What a probe's reading may be off, part by part, and which of its checks speaks for a run.
#pragma once

#include "farm/probe.h"
#include "probes/check_rules.h"
#include "probes/probe_class.h"

#include <optional>
#include <string_view>
#include <vector>

namespace coldbag {

/// Standard uncertainty by part, K; a part that is not there is 0.
struct ProbeErrorParts {
  double check_K = 0;         ///< of the check's corrected reading
  double class_K = 0;         ///< of the class, where no check gives a figure
  double given_K = 0;         ///< stated on the command line in place of the class
  double extrapolation_K = 0; ///< beyond the check's upper point
  double drift_K = 0;         ///< change between the checks before and after the run
  double age_K = 0;           ///< of a check that is old, or whose age nobody knows
  double resolution_K = 0;
  double stem_K = 0; ///< heat that the stem carries
  bool operator==(const ProbeErrorParts&) const = default;
};
/// The parts added in squares (JCGM 100:2008, 5.1.2, from memory).
[[nodiscard]] double combined_K(const ProbeErrorParts& parts);

/// How a probe's readings are corrected, and what is then still not known of them.
struct ProbeError {
  Correction correction;
  ProbeErrorParts parts;
  double u_K = 0; ///< combined
  std::optional<WallTime> check_on;
  bool is_checked = false; ///< whether a check corrects the readings
  bool operator==(const ProbeError&) const = default;
};

/// The checks on both sides of a run, and which of them is nearer.
struct ChecksAround {
  const ProbeCheck* before = nullptr; ///< as left, or with nothing changed
  const ProbeCheck* after = nullptr;  ///< as found, or with nothing changed
  const ProbeCheck* nearest = nullptr;
  std::optional<double> age_days; ///< of the nearest; none where a date is missing
};

/// A check before the run speaks for it as the probe was left, one after it as it was found. Of the two the
/// nearer in time is taken; of two equally near the one that credits less at `at_degC`. A check without clock
/// on the day the run began may have been on either side, and counts on both. Where the run or every check
/// has no date, the last of the list is taken, and its age is not known.
[[nodiscard]] ChecksAround checks_around(const std::vector<ProbeCheck>& checks, std::optional<WallTime> run,
                                         double at_degC);

/// The error of a probe that was checked, at a temperature. Parts:
/// - check: u of the check between its points; beyond them times hypot(1 - w, w), w the way from the low
///   point to the high one, as the line carries the errors of both;
/// - class instead, where the check states no u;
/// - extrapolation: class tolerance / sqrt 3, more than `extrapolated_beyond` over the upper point (where the
///   check states its points; a bare correction is taken as stated);
/// - drift: by how much the corrections before and after the run differ at `at_degC`, / sqrt 3;
/// - age: old_drift times the years since the check, / sqrt 3, once it is older than `old_after`; a year's
///   worth where the age is not known;
/// - resolution / sqrt 12; stem / sqrt 3.
/// Rectangular parts as JCGM 100:2008, 4.3.7 and F.2.2.1, from memory.
[[nodiscard]] ProbeError checked_error(const ChecksAround& checks, const ProbeClass& probe_class,
                                       const CheckRules& rules, double resolution_K, double at_degC);

/// The error of a probe that nobody checked, by its class.
[[nodiscard]] ProbeError class_error(const ProbeClass& probe_class, double resolution_K, double at_degC);

/// Half-width of a rectangular distribution to its standard uncertainty: / sqrt 3.
[[nodiscard]] double u_of_half_width(double half_width);
/// Smallest step shown to its standard uncertainty: / sqrt 12.
[[nodiscard]] double u_of_resolution(double step);

} // namespace coldbag
