// A temperature probe as a site file describes it, with the checks it has had.
#pragma once

#include "clock/instant.h"
#include "farm/vessel.h"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace coldbag {

/// Where a probe sits. Only `bag` is judged for too little; `surface` is the outer face of door or wall.
enum class ProbeRole { bag, vessel, lid, drain, surface, outside, unstated };
/// In the steam: all but `bag`, `surface` and `outside`.
[[nodiscard]] bool is_steam_space(ProbeRole role);
[[nodiscard]] std::string_view role_text(ProbeRole role);
[[nodiscard]] std::optional<ProbeRole> find_role(std::string_view text);

/// Where a probe sat as its column's own name says, in English or Spanish ("Core 1", "bolsa 2", "Vessel");
/// `unstated` where it says nothing.
[[nodiscard]] ProbeRole role_by_name(std::string_view column);

/// What a probe showed at a temperature that was known.
struct CheckPoint {
  double reads_degC = 0;
  double is_degC = 0;
  bool operator==(const CheckPoint&) const = default;
};

/// What turns a reading into a temperature: corrected = gain reading + offset, both in degC.
struct Correction {
  double gain = 1;
  double offset_K = 0;
  bool operator==(const Correction&) const = default;
};
[[nodiscard]] double corrected_degC(const Correction& correction, double reading_degC);
/// The same as what is to be added to a reading that stands for this temperature, K.
[[nodiscard]] double correction_at_K(const Correction& correction, double is_degC);

/// Of one point: what it was off, everywhere. Of two: the straight line through both. `low` must read and be
/// below `high` (checked). Guarded by tests/published/two_point_check.py.
[[nodiscard]] Correction correction_of(const std::optional<CheckPoint>& low,
                                       const std::optional<CheckPoint>& high);

/// Whether a check was made before or after the probe was adjusted; `unchanged` where nothing was.
enum class CheckState { unchanged, as_found, as_left };

/// One check against known temperatures.
struct ProbeCheck {
  std::optional<WallTime> on; ///< wall time of the site; midnight where only the day is written
  bool has_clock = false;     ///< whether `on` is more than a day
  Correction correction;
  std::optional<CheckPoint> low;  ///< where points are written
  std::optional<CheckPoint> high; ///< the hotter one, or the only one at the boil
  CheckState state = CheckState::unchanged;
  std::optional<double> u_K;              ///< standard uncertainty of the corrected reading
  std::optional<double> reference_u_K;    ///< the part of u_K that is the reference's own
  std::optional<double> site_pressure_Pa; ///< at which the boiling point was taken
  std::optional<WallTime> next_due;
  std::string by;
  std::string how; ///< "ice", "boil", "ice and boil", "reference"
  Place place;
  bool operator==(const ProbeCheck&) const = default;
};

struct Probe {
  std::string name;
  Stated<std::string> column; ///< in the log; the name where not said
  Stated<ProbeRole> role;
  Stated<std::string> bag;      ///< name of the bag kind
  Stated<std::string> position; ///< free text: "lowest layer, rear"
  Stated<std::string> spot; ///< "cold", "hot", "random": mapped cold spot, known hot end, or chosen at random
  Stated<std::string> probe_class; ///< key of probe-classes.csv
  Stated<double> resolution_K;
  std::vector<ProbeCheck> checks; ///< in file order
  Place place;
  bool operator==(const Probe&) const = default;
};

} // namespace coldbag
