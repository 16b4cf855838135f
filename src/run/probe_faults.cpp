#include "run/probe_faults.h"

#include <algorithm>

namespace coldbag {

namespace {

Fault left_out(const ProbeMeter& meter) {
  const ProbeMeasures measures = meter.measures();
  return {"left_out", measures.first_s, measures.last_s, {}, FaultEffect::probe_not_relied_on, ""};
}

} // namespace

std::vector<std::vector<Fault>> faults_of(const RunInput& input, const std::vector<ProbeStream>& streams,
                                          const std::vector<ProbeMeter>& meters) {
  std::vector<std::vector<Fault>> faults;
  for (std::size_t i = 0; i < streams.size(); ++i) {
    faults.push_back(streams[i].faults());
    if (input.probes[i].left_out) faults.back().push_back(left_out(meters[i]));
    std::stable_sort(faults.back().begin(), faults.back().end(),
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
