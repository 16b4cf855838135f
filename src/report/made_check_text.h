// A check of a probe as its maker sees it: what was read, what is corrected, how sure that is.
#pragma once

#include "farm/probe.h"
#include "quantity/print.h"
#include "report/words.h"

#include <optional>
#include <string>
#include <vector>

namespace coldbag {

/// From where on a check no longer reaches, and what is added there.
struct CheckReach {
  double above_degC = 0;
  double tolerance_K = 0;
  std::string probe_class;
};

/// How far the correction moved since the check before.
struct CheckMoved {
  WallTime since;
  double at_degC = 0;
  double moved_K = 0;
};

struct MadeCheck {
  std::string probe;
  UnitSystem units = UnitSystem::metric;
  std::vector<ProbeCheck> checks; ///< as found, and as left where something was adjusted; never empty
  bool by_barometer = false;      ///< else by the altitude
  std::optional<double> altitude_m;
  std::optional<CheckReach> reach;
  std::optional<CheckMoved> moved;
};

[[nodiscard]] std::string made_check_text(const MadeCheck& made, const Words& words);

/// How to make a check, on one screen.
[[nodiscard]] std::string how_to_check_text(const Words& words);

} // namespace coldbag
