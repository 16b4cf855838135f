// What a log says about how its bags conduct, carry vapour and take up heat.
#pragma once

#include "heatup/bag_model.h"
#include "heatup/heating_figures.h"

#include <array>
#include <optional>
#include <string>
#include <vector>

namespace coldbag {

struct FitPoint {
  double time_s = 0;
  double degC = 0;
  int readings = 1; ///< how many its mean was taken from
};

/// The middle of one bag while it warmed.
struct FitProbe {
  std::string name;
  BagBody body;
  double start_degC = 20;
  double noise_K = 0;           ///< of one reading
  std::vector<FitPoint> points; ///< times rising, within the steam trace
};

/// Order of the fitted logarithms.
enum class Unknown { conductivity, vapour, film };
inline constexpr std::size_t unknown_count = 3;
using UnknownVector = std::array<double, unknown_count>;
using UnknownMatrix = std::array<UnknownVector, unknown_count>;

[[nodiscard]] Multipliers multipliers_of(const UnknownVector& ln);

/// The same with a factor on all three, given by its logarithm.
[[nodiscard]] UnknownVector with_speed(UnknownVector ln, double speed_ln);

/// What is known of a kind of bag before its log: mean and covariance of the logarithms of its multipliers.
struct FitPrior {
  UnknownVector ln{};
  UnknownMatrix covariance{};
  bool operator==(const FitPrior&) const = default;
};
/// The tables' figures as they are, in doubt by the standard deviations of bag-heating.csv.
[[nodiscard]] FitPrior prior_of_tables(const HeatingFigures& figures);

/// One direction of what is unknown, in units of the prior's standard deviations.
struct FitDirection {
  UnknownVector along{}; ///< of length 1
  double narrowed = 1;   ///< standard deviation after the log over that before it
  bool is_learned = false;
};

struct FittedProbe {
  std::string name;
  double speed_ln = 0; ///< logarithm of a factor on all three, beside the mean of the probed bags
  double speed_sd = 0;
  double rms_K = 0;
};

enum class FitRefusal { none, no_points, heating_not_seen, does_not_fit };

/// What was learned of one kind of bag: of the mean of those that were probed.
struct Fit {
  FitRefusal refusal = FitRefusal::none;
  UnknownVector ln{};         ///< logarithms of the multipliers
  UnknownMatrix covariance{}; ///< of them, error of mass and moisture included
  /// Standard deviation under learned_under of the tables', and so every direction the multiplier partakes
  /// in.
  std::array<bool, unknown_count> is_learned{};
  std::array<bool, unknown_count> is_far{}; ///< beyond far_multiplier standard deviations of the tables
  std::array<FitDirection, unknown_count> directions{}; ///< best known first
  std::vector<FittedProbe> probes;
  double rms_K = 0;
  double model_error_K = 0; ///< used: the larger of the table's and the grid's own

  [[nodiscard]] Multipliers multipliers() const { return multipliers_of(ln); }
};

/// Mean points for a fit out of many readings: at most `most_points`, equally spaced, each the mean of what
/// lies nearest.
[[nodiscard]] std::vector<FitPoint> spaced_points(const std::vector<FitPoint>& readings,
                                                  std::size_t most_points);

/// Fits the three multipliers that the bags of one kind have in common and, where there are several, the
/// speed of each. Gaussian prior on the logarithms, the tables' or what a farm has learned;
/// Levenberg-Marquardt from three starts; residuals weighted by noise and by a model error that keeps its
/// sign for a while, which also stands for clocks and relative calibration (white noise alone would claim far
/// too much). All bags in one steam. Rules: docs/mathematics/heating.md; guarded by
/// tests/heatup/fit_test.cpp.
[[nodiscard]] Fit fit_bags(const std::vector<FitProbe>& probes, const SteamTrace& steam,
                           const VapourTable& vapour, const HeatingFigures& figures, const FitPrior& prior);
/// The same before anything was learned: by the tables' prior.
[[nodiscard]] Fit fit_bags(const std::vector<FitProbe>& probes, const SteamTrace& steam,
                           const VapourTable& vapour, const HeatingFigures& figures);

/// A time that depends on the multipliers, with its 95 % band.
struct FittedTime {
  double s = 0;
  double ln_sd = 0;      ///< standard deviation of its logarithm
  UnknownVector slope{}; ///< of its logarithm against those of the multipliers
  double lower_s = 0;
  double upper_s = 0;
};

/// What is known of a kind of bag before its log: the prior, in doubt by the error of a description too.
[[nodiscard]] Fit fit_before_any_log(const FitPrior& prior, const HeatingFigures& figures);

/// The same for any one bag of the kind, whose speed differs from the others' by so much: standard deviation
/// of its logarithm.
[[nodiscard]] Fit with_bag_spread(Fit fit, double spread_sd);

/// When the core of a bag first reaches each of these temperatures, counted from the steam's first moment;
/// none where it does not while the steam lasts. The doubt is that of the fit, by the slopes of the logarithm
/// of the time against those of the multipliers.
[[nodiscard]] std::vector<std::optional<FittedTime>> times_to(const std::vector<double>& cores_degC,
                                                              const BagBody& body, double start_degC,
                                                              const Fit& fit, const SteamTrace& steam,
                                                              const VapourTable& vapour);

/// When the core of another bag comes within `under_K` of the highest temperature of the steam, by the fit;
/// none where it does not while the steam lasts.
[[nodiscard]] std::optional<FittedTime> time_to_within(double under_K, const BagBody& body, double start_degC,
                                                       const Fit& fit, const SteamTrace& steam,
                                                       const VapourTable& vapour);

} // namespace coldbag
