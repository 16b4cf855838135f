// How a body of constant properties follows a step of its surroundings: the exact series of conduction.
//
// The yardstick for the model of a bag and the source of fh and j. Real substrate carries vapour as well, so
// these figures describe; they judge nothing. Y is the part of the step not yet made,
// (T_medium - T) / (T_medium - T_start): 1 at the start, 0 in the end.
// Equations: Carslaw and Jaeger, Conduction of Heat in Solids, 2nd ed. (1959), from memory; guarded by
// tests/published/conduction_test.cpp. In full: docs/mathematics/heating.md.
#pragma once

#include <vector>

namespace coldbag {

enum class SeriesShape { plane_wall, infinite_cylinder };

/// One term: C exp(-z^2 Fo) at the centre.
struct SeriesTerm {
  double z = 0; ///< rad; z tan z = Bi for the wall, z J1(z) = Bi J0(z) for the cylinder
  double C = 0;
};

/// Biot numbers h L / k that are taken, and infinity; L is half the thickness or the radius.
constexpr double lowest_biot = 1e-3;
constexpr double highest_biot = 1e6;

/// The least Fourier number, alpha t / L^2, whose terms are kept.
constexpr double lowest_fourier = 1e-4;

/// At lowest_fourier the step has not come nearer the centre than this share of L: erfc(6) = 2e-17 is left.
constexpr double untouched_position = 0.88;

/// One plane wall heated from both sides, or one infinite cylinder. To make one costs some 200 roots (tens of
/// milliseconds for a cylinder); to ask it for a time then costs microseconds.
class StepSeries {
 public:
  /// biot: lowest_biot to highest_biot, or infinity (the surface is at the medium's temperature from the
  /// start); anything else is a caller's fault (checked).
  StepSeries(SeriesShape shape, double biot);

  /// Y at a place; position: x/L or r/R, 0 (centre) to 1 (surface). fourier: 0, where Y is 1 everywhere, or
  /// lowest_fourier upwards; below that only up to untouched_position. Anything else is a caller's fault
  /// (checked). Absolute error below 1e-12.
  [[nodiscard]] double Y(double fourier, double position) const;

  /// Y averaged over the volume; 1 - mean_Y is the share of all heat that has gone in. fourier: 0 or
  /// lowest_fourier upwards, else a caller's fault (checked).
  [[nodiscard]] double mean_Y(double fourier) const;

  /// The term that is left when Fo is above about 0.2: the one-term coefficients of the handbooks' tables.
  [[nodiscard]] SeriesTerm first_term() const { return terms_.front(); }

 private:
  SeriesShape shape_;
  std::vector<SeriesTerm> terms_;
};

/// What the body is made of and what heats it; all above 0, only h may be infinite.
struct StepHeating {
  double h_W_per_m2K = 0; ///< medium to surface
  double conductivity_W_per_mK = 0;
  double diffusivity_m2_per_s = 0;
};

/// A direction of a body and its half thickness or radius.
struct SeriesFactor {
  StepSeries series;
  double half_m = 0;
};

/// Its Y is the product over its directions: walls at right angles, or a cylinder and a wall along it.
struct SeriesBody {
  std::vector<SeriesFactor> factors; ///< one to three, in the order in which the function below names them
  double diffusivity_m2_per_s = 0;
};

// Lengths above 0, in metres; each direction's Biot number within StepSeries' range (checked).
[[nodiscard]] SeriesBody plane_wall_body(double half_thickness_m, const StepHeating& heating);
[[nodiscard]] SeriesBody infinite_cylinder_body(double radius_m, const StepHeating& heating);
/// Endless in the third direction; a square bar has both halves alike.
[[nodiscard]] SeriesBody bar_body(double half_width_m, double half_depth_m, const StepHeating& heating);
[[nodiscard]] SeriesBody brick_body(double half_length_m, double half_width_m, double half_height_m,
                                    const StepHeating& heating);
[[nodiscard]] SeriesBody cylinder_body(double radius_m, double half_height_m, const StepHeating& heating);

/// A place in a body: distances from the centre along its directions, in their order; the rest stays 0.
struct FromCentre {
  double first_m = 0;
  double second_m = 0;
  double third_m = 0;
};

/// Y of the body at a time and place; the limits of StepSeries::Y hold in each direction.
[[nodiscard]] double Y_at(const SeriesBody& body, double time_s, const FromCentre& place = {});

/// Y averaged over the body's volume; the limits of StepSeries::mean_Y hold in each direction.
[[nodiscard]] double mean_Y(const SeriesBody& body, double time_s);

/// Y of the centre once only the first terms are left: j 10^(-t/fh).
struct HeatingLine {
  double fh_s = 0; ///< time for Y to fall to a tenth
  double j = 0;
};

/// fh = ln 10 / (alpha sum(z1^2/L^2)), j = product of C1. Above Y of about 0.2 the line runs late.
[[nodiscard]] HeatingLine centre_line(const SeriesBody& body);

/// When the centre reaches this Y, by the whole series. Y: between 0 and 1, neither included (checked).
[[nodiscard]] double centre_time_s(const SeriesBody& body, double Y);

} // namespace coldbag
