// A steam vessel as a site file describes it.
#pragma once

#include "errors/user_error.h"

#include <optional>
#include <string>

namespace coldbag {

/// A value from a site or run file: stated, stated as "?" (asked, not answered), or not there.
template <class T>
struct Stated {
  std::optional<T> value;
  bool asked = false; ///< the file says "?"
  Place place;
  [[nodiscard]] bool known() const { return value.has_value(); }
  bool operator==(const Stated&) const = default;
};

enum class VesselKind { vented, pressure_rated };

struct Vessel {
  std::string name;
  Stated<VesselKind> kind;
  Stated<double> rating_gauge_Pa; ///< highest allowed gauge pressure, from the nameplate
  Stated<double> volume_m3;
  Stated<std::string> metal;
  Stated<double> metal_mass_kg;
  Stated<double> wall_area_m2;
  Stated<std::string> wall; ///< "bare", "insulated"
  Stated<double> wall_W_per_m2_K;
  Stated<double> steam_power_W;
  Stated<double> steam_rate_kg_per_s;
  Stated<std::string> fuel;
  Stated<double> efficiency; ///< fraction of the fuel's heat that reaches the water
  Place place;
  bool operator==(const Vessel&) const = default;
};

} // namespace coldbag
