// What the earlier runs of a farm have shown of how its bags heat, and how it is worked out from them.
#pragma once

#include "clock/instant.h"
#include "heatup/fit.h"
#include "heatup/slowest_bag.h"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace coldbag {

/// What one run showed of the bags of one kind, fitted by the tables' prior alone.
struct ShownBags {
  std::string bag;       ///< name of the kind
  std::string described; ///< form, substrate, closure, neighbours
  UnknownVector ln{};
  UnknownMatrix covariance{};
  UnknownVector lag_powers{};    ///< slopes of ln lag against the logarithms
  std::vector<double> speeds_ln; ///< of its probed bags beside their kind, at least one
};

/// A run loaded by a pattern of the site that passed on the fit of two probes or more.
struct ShownPattern {
  std::string name;
  std::string vessel;
  std::string bag;
  std::string stacking;
  double mass_kg = 0;
  int count = 0;
  double moisture_wb = 0;
};

/// Bags of one kind that stood together.
struct ShownPlace {
  std::string bag;
  std::string rack; ///< "" where nobody said
  std::string layer;
  int count = 0;
  int probed = 0;
};

struct ShownRun {
  std::string name;
  std::optional<WallTime> on;
  std::vector<ShownBags> kinds;
  std::vector<ShownPlace> places;
  std::optional<ShownPattern> pattern;
};

struct LearnedBag {
  std::string bag;
  std::string described;
  FitPrior prior; ///< for the next run's fit
  int runs = 0;
  int bags = 0; ///< probed in them, one moved over ten runs is ten
  bool operator==(const LearnedBag&) const = default;
};

struct LearnedPattern {
  std::string name;
  std::string vessel;
  std::string bag;
  std::string stacking;
  double mass_kg = 0;
  int count = 0;
  double lowest_moisture_wb = 0;
  double highest_moisture_wb = 0;
  int runs = 0;
  WallTime last; ///< day of the latest of them
  bool operator==(const LearnedPattern&) const = default;
};

struct Learned {
  std::string source_name; ///< the file it was read from
  SpeedSpread spread;      ///< of bags of one kind, all kinds together
  std::vector<LearnedBag> bags;
  std::vector<LearnedPattern> patterns;
  std::vector<std::string> runs; ///< that it rests on
  bool operator==(const Learned&) const = default;
};

/// Puts runs together. Multipliers: what each log alone says (its fit without the prior; its bags are
/// not their kind, so in doubt by bag_spread over the root of their number), added up as information on top
/// of the tables' prior, then moved by the mean speed of all its bags. Spread: of every bag's speed about the
/// mean of its kind over all runs, so what changes from run to run counts as spread too; beside bag_spread
/// with its weight. Patterns: those of the same name, vessel, kind, mass, count and stacking. Bags of one
/// name that were described differently are the latest description's alone. Runs in any order; guarded by
/// tests/heatup/learned_test.cpp.
[[nodiscard]] Learned learn(std::vector<ShownRun> runs, const HeatingFigures& figures);

/// Where one more probed bag would teach most.
struct ProbeNext {
  std::string bag;       ///< the kind whose slowest bag is least known
  int bags = 0;          ///< of it probed so far
  int most_unprobed = 0; ///< without a probe in one load
  /// How far the slowest bag without a probe may be below its kind, in standard deviations, by what is known
  /// now and with one more probed bag; none now where no bag of it was probed.
  std::optional<double> factor_now;
  double factor_then = 0;
  std::string rack; ///< where bags of it stood that were probed least; "" where nobody said
  std::string layer;
  int probed_there = 0;
  bool operator==(const ProbeNext&) const = default;
};

/// None where no load was described or every bag had a probe.
[[nodiscard]] std::optional<ProbeNext> probe_next(const Learned& learned, const std::vector<ShownRun>& runs);

/// Null where nothing was learned of this kind as it is described now.
[[nodiscard]] const LearnedBag* find_learned(const Learned& learned, std::string_view bag,
                                             std::string_view described);

/// Same name, vessel, kind, stacking and count, and mass to a thousandth: moisture may differ.
[[nodiscard]] bool is_same_load(const LearnedPattern& pattern, const ShownPattern& shown);

/// How far a bag of a farm is, in speed, from another set of multipliers: the common factor's logarithm that
/// makes the same difference of the lag. The powers must not add up to 0 (checked).
[[nodiscard]] double speed_beside_ln(const UnknownVector& ln, const UnknownVector& of_kind,
                                     const UnknownVector& lag_powers);

} // namespace coldbag
