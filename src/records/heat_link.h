// Whether bad bags go with the heat of their runs, and what speaks for heat as their cause and against it.
#pragma once

#include "records/logistic.h"
#include "records/run_outcome.h"

#include <map>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace coldbag {

/// Bad bags of all that have this name: of a spawn lot, a kind, a place.
using SharesByName = std::map<std::string, Share>;

/// Of portions, by what they have beside heat; "" for those that tell none.
struct OtherThanHeat {
  SharesByName spawn_lot, shift, room;
  bool several_lots = false; ///< some portion had several spawn lots, and counts under each
};
void add_to(OtherThanHeat& shares, const RunOutcome& run);

/// Something that speaks for heat or against it.
struct Evidence {
  enum class Kind {
    less_heat_more_bad,   ///< for: the slope, with its interval
    not_passed,           ///< for: bad bags of runs that were no PASS
    early_whole_load,     ///< for: runs of which most went bad early
    no_link,              ///< against: the interval of the slope holds "nothing"
    more_heat_more_bad,   ///< against
    spawn_lot,            ///< against: bad bags gather in one
    shift,                ///< against
    room,                 ///< against
    began_at_inoculation, ///< against
    hot_half              ///< against: the half of the runs with most heat is no better
  };
  Kind kind = Kind::no_link;
  std::string name;       ///< of the lot, shift or room; names of runs
  Share share;            ///< of the bags that it is about
  int of_bad = 0;         ///< all bad bags
  int of_bags = 0;        ///< all bags
  bool of_passed = false; ///< of a lot, shift or room: only runs that were a PASS are counted
  /// Of a lot, shift or room: all its runs were among the half with least heat, so that the two cannot be
  /// told apart.
  bool goes_with_heat = false;
};

enum class HeatBy { F, hold };
enum class NoLink { few_runs, few_bad, no_spread, separated };

/// Bad bags of one treatment beside the heat of their runs.
struct HeatLink {
  std::string treatment, treatment_name;
  HeatBy by = HeatBy::F;
  int runs = 0;
  Share share;
  std::optional<NoLink> why_not;      ///< why nothing was fitted
  std::optional<OddsTimes> less_heat; ///< for a tenth of the F; for an hour less of hold
  /// With the core lag beside heat: for the same less heat at one lag, and for ten minutes more lag at one
  /// heat.
  std::optional<OddsTimes> less_heat_at_lag, more_lag;
  /// Why the lag stands not beside it: "" where it does, else a key of words.
  std::string no_lag;
  double dispersion = 1; ///< over 1: runs differ more than chance makes them, and intervals allow for it
  std::vector<Evidence> speaks_for, speaks_against;
};

/// Of runs of one treatment.
[[nodiscard]] HeatLink heat_link(const std::vector<const RunOutcome*>& runs, const TrendFigures& figures);

} // namespace coldbag
