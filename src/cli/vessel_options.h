// The options that say where a vessel stands and what it may hold.
#pragma once

#include "farm/vessel.h"

#include <optional>

namespace coldbag {

class Given;
class OptionGroup;

struct VesselOptions {
  std::optional<double> altitude_m;
  std::optional<double> site_pressure_Pa;
  std::optional<VesselKind> kind;
  std::optional<double> rating_gauge_Pa;
};

/// --altitude, --pressure-at-site, --vented, --rated.
void add_vessel_options(OptionGroup& group);

/// Throws UserError (usage) where one is out of range or they contradict each other.
[[nodiscard]] VesselOptions read_vessel_options(const Given& given);

} // namespace coldbag
