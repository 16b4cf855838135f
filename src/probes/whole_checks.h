// Faults that only the whole trace shows, or the traces of all probes beside each other.
#pragma once

#include "probes/check_limits.h"
#include "probes/copied.h"
#include "probes/fault.h"
#include "probes/thinned.h"

#include "farm/probe.h"

#include <optional>
#include <string>
#include <vector>

namespace coldbag {

/// What one probe left behind.
struct ProbeRecord {
  std::string name;
  ProbeRole role = ProbeRole::unstated;
  std::string bag; ///< kind of the bag; like bags have the same
  int log = 0;
  double ku_K = 0;
  double noise_K = 0;
  double resolution_K = 0; ///< smallest step between two readings, 0 for none
  bool is_left_out = false;
  const ThinTrace* thin = nullptr;
  std::vector<Fault> stretch_faults;
  std::optional<std::size_t> copy_of; ///< an earlier probe of the record
  std::optional<CopyWatch::Seen> copied;
};

/// A pressure column, Pa; outside_Pa is added to make it absolute.
struct PressureRecord {
  int log = 0;
  double outside_Pa = 0;
  const ThinTrace* thin = nullptr;
};

struct RunRecord {
  std::vector<ProbeRecord> probes;
  std::vector<PressureRecord> pressures;
  std::optional<double> boiling_degC;        ///< at the pressure outside
  std::optional<double> vessel_highest_degC; ///< steam in it: boiling where vented, saturated at its rating
};

/// All faults of each probe, those of its stretches among them (under another name where the whole shows what
/// they were), in the order of their times. Which check asks what: docs/mathematics/probe-checks.md. Guarded
/// by tests/probes/whole_checks_test.cpp.
[[nodiscard]] std::vector<std::vector<Fault>> whole_faults(const RunRecord& record,
                                                           const CheckLimits& limits);

} // namespace coldbag
