// What was seen amiss with each probe of a run, and what that blocks.
#pragma once

#include "run/criteria.h"
#include "run/probe_stream.h"

#include <vector>

namespace coldbag {

/// Faults of each probe of the input, in time order: those of stretches, those known only of the whole trace
/// beside the others, and that somebody left it out. The streams are finished; the meters give the noise.
[[nodiscard]] std::vector<std::vector<Fault>> faults_of(const RunInput& input,
                                                        const std::vector<ProbeStream>& streams,
                                                        const std::vector<ProbeMeter>& meters);

/// A bag whose probe is not relied on counts as not probed: no PASS.
[[nodiscard]] std::vector<Said> blocks_of_faults(const std::vector<Measured>& probes);

} // namespace coldbag
