// Log reductions of organisms from what a probe measured, and what they leave alive.
#pragma once

#include "kinetics/organism.h"
#include "run/probe_meter.h"
#include "run/run_report.h"

#include <optional>
#include <vector>

namespace coldbag {

/// The references under which an organism's death is measured, by its own temperature: z as stated, z one
/// kelvin less, then both ends where the table has a range of z.
[[nodiscard]] std::vector<Reference> references_of(const Organism& organism);

struct Decades {
  double estimate = 0;         ///< z and D as stated
  double lower = 0;            ///< lowered trace, noise divided out, largest D, the z that earns least
  double lower_z_less_one = 0; ///< lowered trace, noise divided out, largest D, z as stated less 1 K
  double upper = 0;            ///< raised trace, smallest D, the z that earns most
  double possible = 0;         ///< if all that was withheld had counted at the hotter reading beside it
};

/// By the exact integral; `first`: where in the measures the references of this organism begin.
[[nodiscard]] Decades decades_of(const Organism& organism, const ProbeMeasures& measures, std::size_t first);
/// By the time spent at each temperature: to be shown for every organism. `possible` is not known here.
[[nodiscard]] Decades decades_shown(const Organism& organism, const ProbeMeasures& measures, double ku_K);

/// Whether a trace went more than 10 K beyond the temperatures at which the organism was measured; a figure
/// measured at one temperature has that as its range.
[[nodiscard]] bool is_beyond_range(const Organism& organism, const ProbeMeasures& measures);

/// What would be left in the probed bags if each had held `initial_count` of an organism, from the lower
/// bound of its log reduction; expected bad bags are the sum over those bags of 1 - exp(-survivors).
[[nodiscard]] std::vector<Survival> survival_of(const std::vector<ProbeResult>& probes, double initial_count);

} // namespace coldbag
