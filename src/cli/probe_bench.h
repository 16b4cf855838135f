// What a probe is checked against: its site, where water boils, how well that is known.
#pragma once

#include "cli/options.h"
#include "farm/site.h"
#include "probes/check_made.h"
#include "probes/uncertainty.h"
#include "tables/edition.h"

#include <optional>
#include <string>
#include <vector>

namespace coldbag {

/// What a check is made against, and the probe it is made of.
struct Bench {
  Site site;
  std::string probe; ///< its name
  CheckRules rules;
  std::vector<ProbeClass> classes;
  std::optional<double> site_pressure_Pa;
  double pressure_half_Pa = 0;
  bool by_barometer = false;        ///< else by the altitude
  std::optional<double> altitude_m; ///< where the water boiled
  bool bare_in_degF = false;
  std::optional<double> resolution_K; ///< stated
};

/// The bench of the probe of that name, or of the only probe where none was named; find_pressure comes later.
/// Throws UserError where there is no such probe or an option is wrong.
[[nodiscard]] Bench make_bench(const Given& given, Site site, const std::string& probe,
                               const TableFiles& tables);

/// The probe on the bench.
[[nodiscard]] const Probe& probe_of(const Bench& bench);

/// Settles where water boils, from the barometer or altitude given, else the site's altitude.
void find_pressure(const Given& given, Bench& bench);

/// Throws UserError (usage) where neither altitude nor barometer is known.
[[nodiscard]] double boil_here_degC(const Bench& bench);

/// A reading in ice, or at the boil, against what it should have been.
[[nodiscard]] PointRead at_ice(const Bench& bench, double reads_degC, double resolution_K, double spread_K);
[[nodiscard]] PointRead at_boil(const Bench& bench, double reads_degC, double resolution_K, double spread_K);

} // namespace coldbag
