// The text of a new site file, from what the person answered; "?" for the rest.
#pragma once

#include "farm/probe.h"
#include "farm/site_log.h"
#include "quantity/print.h"

#include <functional>
#include <optional>
#include <string>
#include <vector>

namespace coldbag {

/// One probe: its column in the log and what was said of it.
struct SetupProbe {
  std::string column; ///< also its name in the file
  std::optional<ProbeRole> role;
  std::optional<std::string> position;
  std::optional<std::string> spot;
  std::optional<std::string> probe_class;
};

/// What setup asks. Quantities stand as they were typed, with their unit ("1150 m"); read_site says what is
/// wrong with them.
struct SetupAnswers {
  std::optional<std::string> site_name;
  std::optional<std::string> altitude;
  std::optional<std::string> zone;
  UnitSystem units = UnitSystem::metric;
  std::string language = "en";

  std::string vessel_name = "vessel";
  std::optional<VesselKind> kind;
  std::optional<std::string> rating;
  std::optional<std::string> volume;
  std::optional<std::string> metal;
  std::optional<std::string> metal_mass;
  std::optional<std::string> wall;
  std::optional<std::string> steam_power;
  std::optional<std::string> fuel;

  std::string bag_name = "bag";
  std::optional<std::string> substrate;
  std::optional<std::string> form;
  std::optional<std::string> mass;
  std::optional<std::string> moisture;
  std::optional<std::string> length;
  std::optional<std::string> width;
  std::optional<std::string> height;
  std::optional<std::string> diameter;
  std::optional<std::string> closure;
  std::optional<std::string> neighbours;
  std::optional<std::string> film;

  std::vector<LogSetting> log; ///< how the recorder writes; "?" where it has to be said and was not
  std::vector<SetupProbe> probes;
};

/// The words of a comment by their key, "setup_says_...".
using SiteComments = std::function<std::string(const std::string& key)>;

/// A site file that read_site takes, each line with a comment that says what belongs there, as far as there
/// are comments. Dimensions that the form does not have are left out. Two probes of one column are the
/// caller's fault (checked).
[[nodiscard]] std::string site_text(const SetupAnswers& answers, const SiteComments& comments = {});

} // namespace coldbag
