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

/// One check against a known temperature.
struct ProbeCheck {
  std::optional<WallTime> on; ///< date of the check, wall time of the site
  double correction_K = 0;    ///< to be added to a reading
  std::optional<double> u_K;  ///< standard uncertainty of the corrected reading
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
