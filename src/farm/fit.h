// A run file beside its site file: what one says must fit the other.
#pragma once

#include "farm/run_file.h"
#include "farm/site.h"

#include <optional>
#include <string_view>
#include <vector>

namespace coldbag {

/// Throws UserError with every misfit: a vessel, or the bag of a probe or of the load, that the site does not
/// have; a treatment that is none of `treatments`; a pressure at the site too far from the altitude's
/// standard value (ISO 2533:1975). `load` is the run's, wherever it was written.
void check_fit(const Site& site, const RunFile& run, const Load& load,
               const std::vector<Treatment>& treatments);

/// The complaint where a barometer's reading is more than 4 kPa from the standard atmosphere's pressure at
/// this altitude (the strongest weather moves it by less; the limit is assumed); both values are named.
[[nodiscard]] std::optional<Complaint> pressure_misfit(const Stated<double>& site_pressure_Pa,
                                                       double altitude_m);

/// The probes of a run: those of the site, each key overridden by what the run says of the probe of the same
/// name
/// ("?" included), checks of both; then those that only the run has.
[[nodiscard]] std::vector<Probe> probes_of_run(const Site& site, const RunFile& run);

} // namespace coldbag
