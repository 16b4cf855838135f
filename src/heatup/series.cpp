#include "heatup/series.h"

#include "errors/our_fault.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <limits>
#include <numbers>
#include <numeric>
#include <utility>

namespace coldbag {

namespace {

using std::numbers::pi;

/// exp(-40) = 4e-18: a term this far below the first one is left out.
constexpr double negligible_exponent = 40;

/// The solutions of the shape's equation that are even and odd about the centre.
struct Waves {
  double even; ///< cos or J0
  double odd;  ///< sin or J1
};

double even_wave(SeriesShape shape, double z) {
  return shape == SeriesShape::plane_wall ? std::cos(z) : std::cyl_bessel_j(0.0, z);
}

Waves waves(SeriesShape shape, double z) {
  const double odd = shape == SeriesShape::plane_wall ? std::sin(z) : std::cyl_bessel_j(1.0, z);
  return {even_wave(shape, z), odd};
}

/// Zero where z is an eigenvalue; free of the poles that z tan z = Bi has.
double boundary_residual(SeriesShape shape, double biot, double z) {
  if (std::isinf(biot)) return -even_wave(shape, z);
  const Waves at_z = waves(shape, z);
  return z * at_z.odd - biot * at_z.even;
}

/// Ends between which f changes its sign once. C. Ridders, IEEE Trans. Circuits Syst. 26 (1979), from memory:
/// the ends come at least twice as near with every turn, so it always ends.
template <class F>
double root_between(const F& f, double low, double high) {
  double f_low = f(low);
  double f_high = f(high);
  our_check((f_low < 0) != (f_high < 0), "the ends lie on either side of the root");
  double last = high;
  for (;;) {
    const double middle = std::midpoint(low, high);
    const double f_middle = f(middle);
    if (f_middle == 0 || middle == low || middle == high) return middle;
    const double curved = std::sqrt(f_middle * f_middle - f_low * f_high);
    const double step = (middle - low) * f_middle / curved;
    const double x = std::clamp(f_low < 0 ? middle - step : middle + step, low, high);
    const double f_x = f(x);
    if (f_x == 0 || std::abs(x - last) <= 2 * std::numeric_limits<double>::epsilon() * std::abs(x)) return x;
    last = x;
    // x lies beyond the middle as seen from the end whose sign the middle shares.
    if ((f_middle < 0) == (f_low < 0)) {
      low = middle;
      f_low = f_middle;
    } else {
      high = middle;
      f_high = f_middle;
    }
    if ((f_x < 0) == (f_low < 0)) {
      low = x;
      f_low = f_x;
    } else {
      high = x;
      f_high = f_x;
    }
  }
}

/// The n-th eigenvalue, n from 1. It lies between the n-1-th zero of the odd wave and the n-th of the even
/// one. Those are known for the wall; for the cylinder the ends lie outside them by at most pi/8 and inside
/// their neighbours (the zeros of J0 are near (n - 1/4) pi, those of J1 near (n + 1/4) pi), so one root is
/// between them either way.
double eigenvalue(SeriesShape shape, double biot, int n) {
  const bool wall = shape == SeriesShape::plane_wall;
  const double low = n == 1 ? 0 : (n - (wall ? 1.0 : 7.0 / 8)) * pi;
  const double high = (n - (wall ? 1.0 / 4 : 1.0 / 8)) * pi;
  return root_between([&](double z) { return boundary_residual(shape, biot, z); }, low, high);
}

double coefficient(SeriesShape shape, double z) {
  const auto [even, odd] = waves(shape, z);
  if (shape == SeriesShape::plane_wall) return 2 * odd / (z + odd * even);
  return 2 * odd / (z * (even * even + odd * odd));
}

/// Mean of the even wave over the volume, for the eigenvalue z.
double mean_wave(SeriesShape shape, double z) {
  return (shape == SeriesShape::plane_wall ? 1 : 2) * waves(shape, z).odd / z;
}

/// Sum of C exp(-z^2 Fo) weight(z), up to the first term that no longer counts beside the first one.
template <class Weight>
double sum_of(const std::vector<SeriesTerm>& terms, double fourier, const Weight& weight) {
  const double first_z = terms.front().z;
  double sum = 0;
  for (const SeriesTerm& term : terms) {
    if ((term.z * term.z - first_z * first_z) * fourier > negligible_exponent) break;
    sum += term.C * std::exp(-term.z * term.z * fourier) * weight(term.z);
  }
  return sum;
}

SeriesFactor factor(SeriesShape shape, double half_m, const StepHeating& heating) {
  our_check(half_m > 0 && std::isfinite(half_m), "a half thickness or radius is above 0");
  our_check(heating.h_W_per_m2K > 0, "h is above 0");
  our_check(heating.conductivity_W_per_mK > 0 && std::isfinite(heating.conductivity_W_per_mK),
            "the conductivity is above 0");
  return {StepSeries(shape, heating.h_W_per_m2K * half_m / heating.conductivity_W_per_mK), half_m};
}

SeriesBody body_of(std::vector<SeriesFactor> factors, const StepHeating& heating) {
  const double diffusivity_m2_per_s = heating.diffusivity_m2_per_s;
  our_check(diffusivity_m2_per_s > 0 && std::isfinite(diffusivity_m2_per_s), "the diffusivity is above 0");
  return {std::move(factors), diffusivity_m2_per_s};
}

double fourier_of(const SeriesBody& body, const SeriesFactor& factor, double time_s) {
  return body.diffusivity_m2_per_s * time_s / (factor.half_m * factor.half_m);
}

} // namespace

StepSeries::StepSeries(SeriesShape shape, double biot) : shape_(shape) {
  our_check((biot >= lowest_biot && biot <= highest_biot) || biot == std::numeric_limits<double>::infinity(),
            "the Biot number is in the range of the series");
  const double largest_z = std::sqrt(negligible_exponent / lowest_fourier);
  for (int n = 1; terms_.empty() || terms_.back().z < largest_z; ++n) {
    const double z = eigenvalue(shape, biot, n);
    terms_.push_back({z, coefficient(shape, z)});
  }
}

double StepSeries::Y(double fourier, double position) const {
  our_check(position >= 0 && position <= 1, "the place is between centre and surface");
  our_check(fourier >= lowest_fourier || fourier == 0 || (fourier > 0 && position <= untouched_position),
            "the Fourier number is in the range of the series");
  if (fourier < lowest_fourier) return 1;
  return sum_of(terms_, fourier, [&](double z) { return even_wave(shape_, z * position); });
}

double StepSeries::mean_Y(double fourier) const {
  our_check(fourier >= lowest_fourier || fourier == 0, "the Fourier number is in the range of the series");
  if (fourier == 0) return 1;
  return sum_of(terms_, fourier, [&](double z) { return mean_wave(shape_, z); });
}

SeriesBody plane_wall_body(double half_thickness_m, const StepHeating& heating) {
  return body_of({factor(SeriesShape::plane_wall, half_thickness_m, heating)}, heating);
}

SeriesBody infinite_cylinder_body(double radius_m, const StepHeating& heating) {
  return body_of({factor(SeriesShape::infinite_cylinder, radius_m, heating)}, heating);
}

SeriesBody bar_body(double half_width_m, double half_depth_m, const StepHeating& heating) {
  return body_of({factor(SeriesShape::plane_wall, half_width_m, heating),
                  factor(SeriesShape::plane_wall, half_depth_m, heating)},
                 heating);
}

SeriesBody brick_body(double half_length_m, double half_width_m, double half_height_m,
                      const StepHeating& heating) {
  return body_of({factor(SeriesShape::plane_wall, half_length_m, heating),
                  factor(SeriesShape::plane_wall, half_width_m, heating),
                  factor(SeriesShape::plane_wall, half_height_m, heating)},
                 heating);
}

SeriesBody cylinder_body(double radius_m, double half_height_m, const StepHeating& heating) {
  return body_of({factor(SeriesShape::infinite_cylinder, radius_m, heating),
                  factor(SeriesShape::plane_wall, half_height_m, heating)},
                 heating);
}

double Y_at(const SeriesBody& body, double time_s, const FromCentre& place) {
  const std::array<double, 3> from_centre_m = {place.first_m, place.second_m, place.third_m};
  double Y = 1;
  for (std::size_t i = 0; i < from_centre_m.size(); ++i) {
    if (i >= body.factors.size()) {
      our_check(from_centre_m[i] == 0, "a place has no more distances than its body has directions");
      continue;
    }
    const SeriesFactor& direction = body.factors[i];
    Y *= direction.series.Y(fourier_of(body, direction, time_s), from_centre_m[i] / direction.half_m);
  }
  return Y;
}

double mean_Y(const SeriesBody& body, double time_s) {
  double mean = 1;
  for (const SeriesFactor& direction : body.factors) {
    mean *= direction.series.mean_Y(fourier_of(body, direction, time_s));
  }
  return mean;
}

HeatingLine centre_line(const SeriesBody& body) {
  double decay_per_s = 0;
  double j = 1;
  for (const SeriesFactor& direction : body.factors) {
    const auto [z, C] = direction.series.first_term();
    decay_per_s += z * z * fourier_of(body, direction, 1);
    j *= C;
  }
  return {std::numbers::ln10 / decay_per_s, j};
}

double centre_time_s(const SeriesBody& body, double Y) {
  our_check(Y > 0 && Y < 1, "Y lies between 0 and 1");
  const HeatingLine line = centre_line(body);
  // The line runs late, so it bounds the time from above; the hair is for rounding where the line is exact.
  const double latest_s = line.fh_s * std::log10(line.j / Y) * (1 + 1e-9);
  return root_between([&](double time_s) { return std::log(Y_at(body, time_s) / Y); }, 0.0, latest_s);
}

} // namespace coldbag
