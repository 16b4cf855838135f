#include "run/probe_faults.h"

#include "probes/whole_checks.h"
#include "steam/saturation.h"

#include <algorithm>
#include <cmath>

namespace coldbag {

namespace {

Fault left_out(const ProbeMeter& meter) {
  const ProbeMeasures measures = meter.measures();
  return {"left_out", measures.first_s, measures.last_s, {}, FaultEffect::probe_not_relied_on, ""};
}

// What belongs to different runs is not held against one another.
bool holds_several_runs(const RunInput& input, const std::vector<ProbeMeter>& meters) {
  for (std::size_t i = 0; i < meters.size(); ++i)
    if (!input.probes[i].is_pressure && input.probes[i].role == ProbeRole::bag &&
        meters[i].measures().runs.size() > 1)
      return true;
  return false;
}

RunRecord record_of(const RunInput& input, const std::vector<ProbeStream>& streams,
                    const std::vector<ProbeMeter>& meters) {
  RunRecord record;
  if (input.site_pressure_Pa) {
    record.boiling_degC = saturation_temperature_degC(*input.site_pressure_Pa);
    if (input.vessel_kind == VesselKind::vented) record.vessel_highest_degC = record.boiling_degC;
    if (input.vessel_kind == VesselKind::pressure_rated && input.rating_gauge_Pa)
      record.vessel_highest_degC =
          saturation_temperature_degC(*input.site_pressure_Pa + *input.rating_gauge_Pa);
  }
  std::vector<std::size_t> at(streams.size()); // index of a probe of the input in the record
  for (std::size_t i = 0; i < streams.size(); ++i) {
    const RunProbe& probe = input.probes[i];
    if (probe.is_pressure) {
      const bool is_gauge = probe.pressure_basis == PressureBasis::gauge;
      if (!is_gauge || input.site_pressure_Pa)
        record.pressures.push_back({probe.log, is_gauge ? *input.site_pressure_Pa : 0, &streams[i].thin()});
      continue;
    }
    at[i] = record.probes.size();
    const auto copy_of = streams[i].copy_of();
    record.probes.push_back({probe.name, probe.role, probe.bag, probe.log, coverage_k * probe.u_K,
                             meters[i].noise_K(), streams[i].resolution_K(), probe.left_out,
                             &streams[i].thin(), streams[i].faults(),
                             copy_of ? std::optional(at[*copy_of]) : std::nullopt, streams[i].copied()});
  }
  return record;
}

} // namespace

std::vector<std::vector<Fault>> faults_of(const RunInput& input, const std::vector<ProbeStream>& streams,
                                          const std::vector<ProbeMeter>& meters) {
  std::vector<std::vector<Fault>> faults(streams.size());
  if (input.check_limits && holds_several_runs(input, meters)) {
    for (std::size_t i = 0; i < streams.size(); ++i)
      faults[i] = streams[i].faults();
  } else if (input.check_limits) {
    auto found = whole_faults(record_of(input, streams, meters), *input.check_limits);
    for (std::size_t i = 0, next = 0; i < streams.size(); ++i)
      if (!input.probes[i].is_pressure) faults[i] = std::move(found[next++]);
  }
  // Checks may begin before what is judged does; a stretch there costs nothing.
  for (std::vector<Fault>& list : faults)
    std::erase_if(list, [&](const Fault& fault) {
      return fault.effect == FaultEffect::stretch_not_credited && input.from_s && fault.to_s < *input.from_s;
    });
  for (std::size_t i = 0; i < streams.size(); ++i) {
    if (input.probes[i].left_out) faults[i].push_back(left_out(meters[i]));
    if (const double moved_s = meters[i].rule().elsewhere_from_s; std::isfinite(moved_s))
      if (const double last_s = meters[i].measures().last_s; last_s > moved_s)
        faults[i].push_back({"moved", moved_s, last_s, {}, FaultEffect::stretch_not_credited, ""});
    std::stable_sort(faults[i].begin(), faults[i].end(),
                     [](const Fault& a, const Fault& b) { return a.from_s < b.from_s; });
  }
  return faults;
}

std::vector<Said> blocks_of_faults(const std::vector<Measured>& probes) {
  std::vector<Said> blocks;
  for (const Measured& one : probes) {
    if (one.probe->role != ProbeRole::bag || one.probe->left_out || one.is_relied_on) continue;
    const auto why = std::find_if(one.faults.begin(), one.faults.end(), [](const Fault& fault) {
      return fault.effect == FaultEffect::probe_not_relied_on;
    });
    blocks.push_back({"block_fault", {{"probe", one.probe->name}, {"fault", why->kind}}});
  }
  return blocks;
}

} // namespace coldbag
