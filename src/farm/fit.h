// A run file beside its site file: what one says must fit the other.
#pragma once

#include "farm/run_file.h"
#include "farm/site.h"

#include <optional>
#include <string>
#include <vector>

namespace coldbag {

/// Throws UserError with every name of a vessel, a pattern or a kind of bag, of a probe's or of the load's,
/// that the site does not have. `load` is the run's, wherever it was written.
void check_fit(const Site& site, const RunFile& run, const Load& load);

/// The complaint that `known` holds no such name, with the nearest of them or all; none where it does. `what`
/// says what the name should stand for: "treatment".
[[nodiscard]] std::optional<Complaint> unknown_name(const std::string& what, const std::string& name,
                                                    const Place& place,
                                                    const std::vector<std::string>& known);

/// The complaint where a barometer's reading is more than 4 kPa from the standard atmosphere's pressure at
/// this altitude (ISO 2533:1975; the strongest weather moves it by less; the limit is assumed); both values
/// are named.
[[nodiscard]] std::optional<Complaint> pressure_misfit(double site_pressure_Pa, const Place& place,
                                                       double altitude_m);

/// The probes of a run: those of the site, each key overridden by what the run says of the probe of the same
/// name
/// ("?" included), checks of both; then those that only the run has.
[[nodiscard]] std::vector<Probe> probes_of_run(const Site& site, const RunFile& run);

} // namespace coldbag
