// A steam vessel as a site file describes it.
#pragma once

#include "clock/instant.h"
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
  bool has_vacuum_breaker = false;
  Stated<WallTime> low_water_tested; ///< day of the last test of the low-water cut-off
  Stated<double> low_water_test_every_s;
  Stated<WallTime> safety_valve_tested;
  Stated<double> safety_valve_test_every_s;
  Stated<WallTime> certificate_until; ///< last day on which the vessel's certificate is good
  Place place;
  bool operator==(const Vessel&) const = default;
};

} // namespace coldbag
