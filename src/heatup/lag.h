// How long the core of a described bag takes, told before there is any log: a range, never a promise.
#pragma once

#include "farm/vessel.h"
#include "heatup/bag_body.h"
#include "heatup/learned.h"
#include "quantity/print.h"
#include "tables/edition.h"

#include <optional>
#include <string>
#include <vector>

namespace coldbag {

/// What somebody said of the steam. What they left out is assumed, and told, where that can be.
struct SaidSteam {
  Stated<double> start_degC; ///< of bags and vessel, -40 to 95
  Stated<double> steam_degC; ///< 40 to 150; at most one of this and the next
  Stated<double> steam_gauge_Pa;
  Stated<double> come_up_s; ///< from the steam's first reaching the bags until it is that hot; to 24 h
  Stated<double> altitude_m;
  Stated<double> site_pressure_Pa; ///< barometer as it stands
  Stated<VesselKind> vessel_kind;
  Stated<double> rating_gauge_Pa;
};

/// Steam that warms in a straight line from the start over the come-up, and then stays.
struct LagSteam {
  double start_degC = 0;
  double steam_degC = 0;
  double come_up_s = 0;
  double site_pressure_Pa = 0;
  double boiling_degC = 0;    ///< in the open at that pressure
  double abs_pressure_Pa = 0; ///< in the vessel when it is hot: that of the site, or saturation where higher
  std::optional<double> altitude_m;
  std::vector<Said> assumptions; ///< "lag_assumed_…"
};

/// Throws UserError with every fault: out of the ranges above; steam hotter than water boils in the open
/// without a pressure-rated vessel, or beyond its rating; a barometer that contradicts the altitude; start
/// less than 5 K under the steam; nobody said how hot the steam is.
[[nodiscard]] LagSteam lag_steam(const SaidSteam& said, const HeatingFigures& figures);

/// One temperature of the core and when it is reached, counted from when steam first reaches the bags.
struct LagTarget {
  double core_degC = 0;
  std::optional<double> under_steam_K; ///< none: a round temperature
  double good_s = 0;                   ///< 5 of 100 bags are there sooner, as far as the figures hold
  double likely_s = 0;                 ///< by the figures of the tables as they are
  double slow_s = 0;                   ///< 5 of 100 bags take longer
  double heat_J = 0;                   ///< taken up by one bag, likely
  std::optional<double> with_air_s;    ///< likely, with air left in the vessel; none: not reached
};

/// What air left in the vessel would do: at the same pressure the steam is only as hot as its own share of
/// it.
struct LagAir {
  double share = 0;
  double steam_degC = 0;
  bool operator==(const LagAir&) const = default;
};

/// The late line of conduction alone (fh and j): it describes, and no figure of a forecast rests on it.
struct ConductionLine {
  double fh_s = 0;
  double j = 0;
};

struct LagMoment {
  double time_s = 0;
  double steam_degC = 0;
  double core_good_degC = 0;
  double core_likely_degC = 0;
  double core_slow_degC = 0;
  double surface_degC = 0; ///< likely, middle of the nearest face
  double mean_degC = 0;    ///< likely
};

struct LagForecast {
  std::string kind;     ///< name of the kind of bag; empty where there is none
  int earlier_runs = 0; ///< of the farm, on which it rests beside the tables
  int earlier_bags = 0;
  DescribedBag bag;
  LagSteam steam;
  std::vector<LagTarget> targets; ///< coolest first
  std::optional<LagAir> air;      ///< none where the steam is cooler than water boils: it holds air anyhow
  ConductionLine conduction;
  std::vector<LagMoment> curve; ///< minute by minute, until the slow end of the last target
  std::vector<Said> assumptions;
  std::vector<Said> cautions; ///< "lag_caution_…"
  UnitSystem units = UnitSystem::metric;
  std::vector<Edition> editions;
  std::string program_version;
};

/// Times to 60, 90 and 100 C, as far as those lie 2 K or more under the steam, and to within 10, 5 and 2 K of
/// it; what is no warmer than the start is left out. Likely is the bag model with the tables' figures; good
/// and slow are the 5 % and 95 % ends by the priors of conductivity, vapour and film, the error of the
/// description and the spread of bags of one kind, or what a farm learned of both, all linear in the
/// logarithm of the time; none is sooner than the steam itself. Throws UserError where a bag would take over
/// 60 days. Rules and how far they hold: docs/mathematics/heating.md; guarded by tests/heatup/lag_test.cpp.
[[nodiscard]] LagForecast forecast_lag(const std::string& kind, const DescribedBag& bag,
                                       const LagSteam& steam, const HeatingTables& tables,
                                       const Learned* learned = nullptr);

/// The steam of a forecast as a trace that lasts until `until_s`, with `air_share` of it air.
[[nodiscard]] SteamTrace rising_steam(const LagSteam& steam, double air_share, double until_s);

} // namespace coldbag
