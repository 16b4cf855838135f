// Made readings through the checks alone: bags first, the steam last.
#pragma once

#include "probes/stretch_checks.h"
#include "probes/whole_checks.h"
#include "support/approx.h"
#include "support/made_probes.h"

#include "kinetics/noise.h"
#include "tables/edition.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <string>
#include <vector>

namespace coldbag::test {

inline const CheckLimits& limits() {
  static const CheckLimits read = read_check_limits(TableFiles::built_in());
  return read;
}

inline RowBlock block_of(const MadeReadings& made) {
  RowBlock block;
  block.time_s = made.time_s;
  for (const auto& column : made.degC) {
    block.value.push_back(column);
    auto& has = block.has.emplace_back();
    for (const double degC : column)
      has.push_back(std::isnan(degC) ? 0 : 1);
  }
  return block;
}

/// What one probe's stretch checks made of it.
struct Stretches {
  std::vector<CheckedReading> readings;
  std::vector<Fault> faults;
  double resolution_K = 0;
};

inline ProbeRole role_of(const MadeReadings& made, std::size_t probe) {
  return probe + 1 == made.degC.size() ? ProbeRole::vessel : ProbeRole::bag;
}

inline Stretches stretches(const MadeReadings& made, std::size_t probe,
                           double ends_at_s = std::numeric_limits<double>::infinity()) {
  const RowBlock block = block_of(made);
  std::vector<Companion> others;
  for (std::size_t i = 0; i < made.degC.size(); ++i)
    if (i != probe) others.push_back({i, role_of(made, i), {}});
  StretchChecks checks({role_of(made, probe), ends_at_s, limits()});
  Stretches out;
  for (std::size_t row = 0; row < block.time_s.size(); ++row) {
    const Company company(block, row, others);
    if (block.has[probe][row] == 0)
      checks.silent(block.time_s[row], company);
    else
      checks.take(block.time_s[row], block.value[probe][row], company, out.readings);
  }
  checks.finish(out.readings);
  out.faults = checks.faults();
  out.resolution_K = checks.resolution_K();
  return out;
}

/// Faults of every probe of a run without pressure column.
inline std::vector<std::vector<Fault>> all_faults(const MadeReadings& made,
                                                  std::optional<double> boiling_degC = 100,
                                                  std::optional<double> vessel_highest_degC = {}) {
  std::vector<ThinTrace> thin(made.degC.size());
  RunRecord record;
  record.boiling_degC = boiling_degC;
  record.vessel_highest_degC = vessel_highest_degC;
  for (std::size_t i = 0; i < made.degC.size(); ++i) {
    const Stretches seen = stretches(made, i);
    NoiseMeter noise;
    for (const CheckedReading& reading : seen.readings) {
      if (reading.kind == CheckedReading::Kind::silent) continue;
      const bool is_credited = reading.kind == CheckedReading::Kind::credited;
      thin[i].take(reading.time_s, reading.degC, is_credited);
      if (is_credited) noise.take(reading.degC, true);
    }
    ProbeRecord& probe = record.probes.emplace_back();
    probe.name = "Probe " + std::to_string(i + 1);
    probe.role = role_of(made, i);
    probe.ku_K = 0.5;
    probe.noise_K = noise.noise_K();
    probe.resolution_K = seen.resolution_K;
    probe.stretch_faults = seen.faults;
    for (std::size_t other = 0; other < i; ++other) {
      CopyWatch watch;
      for (std::size_t row = 0; row < made.time_s.size(); ++row)
        watch.take(made.time_s[row], made.degC[i][row], made.degC[other][row], limits());
      if (!watch.seen()) continue;
      probe.copy_of = other;
      probe.copied = watch.seen();
    }
  }
  for (std::size_t i = 0; i < thin.size(); ++i)
    record.probes[i].thin = &thin[i];
  return whole_faults(record, limits());
}

/// Separated by blanks, in the order of their times.
inline std::string kinds(const std::vector<Fault>& faults) {
  std::string all;
  for (const Fault& fault : faults)
    all += (all.empty() ? "" : " ") + fault.kind;
  return all;
}

inline bool has_kind(const std::vector<Fault>& faults, const std::string& kind) {
  return std::any_of(faults.begin(), faults.end(), [&](const Fault& fault) { return fault.kind == kind; });
}

inline int count_faults(const std::vector<std::vector<Fault>>& faults) {
  int count = 0;
  for (const auto& list : faults)
    count += static_cast<int>(list.size());
  return count;
}

} // namespace coldbag::test
