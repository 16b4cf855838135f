// What the probes of a run showed, as the bags without one are judged from it.
#pragma once

#include "probes/thinned.h"
#include "run/criteria.h"
#include "run/probe_meter.h"
#include "run/run_input.h"

#include <optional>
#include <vector>

namespace coldbag {

struct LoadBasis {
  const RunInput& input;
  const Treatment& treatment;
  const std::vector<Measured>& probes;
  std::vector<const ThinTrace*> thin;  ///< of each of them
  std::vector<double> gap_s;           ///< likewise: the longest silence that is bridged
  const ThinTrace* pressure = nullptr; ///< of the vessel, where the log has one
  PressureBasis pressure_basis = PressureBasis::none;
  ProbeMeterRule rule; ///< by which a bag's probe is measured
  Surroundings around;
  std::optional<double> steam_off_at_s;
};

} // namespace coldbag
