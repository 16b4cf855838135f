#include "heatup/series.h"

#include "errors/our_fault.h"
#include "support/approx.h"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>
#include <numbers>

using coldbag::SeriesBody;
using coldbag::SeriesShape;
using coldbag::StepHeating;
using coldbag::StepSeries;
using coldbag::test::within;

namespace {

using std::numbers::pi;

constexpr double infinity = std::numeric_limits<double>::infinity();
constexpr double not_a_number = std::numeric_limits<double>::quiet_NaN();
constexpr SeriesShape shapes[] = {SeriesShape::plane_wall, SeriesShape::infinite_cylinder};
constexpr double biots[] = {coldbag::lowest_biot, 0.1, 3, 186, coldbag::highest_biot, infinity};

/// Wet sawdust in steam behind a film of trapped air.
constexpr StepHeating sawdust = {50, 0.4, 1.3e-7};
constexpr StepHeating bathed = {infinity, 0.4, 1.3e-7};

/// Simpson's rule over an even number of strips of 0 to 1.
template <class F>
double integral_to_1(const F& f) {
  constexpr int strips = 200;
  double sum = f(0.0) + f(1.0);
  for (int i = 1; i < strips; ++i)
    sum += (i % 2 == 1 ? 4 : 2) * f(static_cast<double>(i) / strips);
  return sum / (3 * strips);
}

} // namespace

TEST_CASE("nothing has changed at the start, and all of it in the end") {
  for (const SeriesShape shape : shapes) {
    for (const double biot : biots) {
      CAPTURE(biot);
      const StepSeries series(shape, biot);
      for (const double position : {0.0, 0.4, 0.88, 1.0})
        CHECK(series.Y(0, position) == 1);
      CHECK(series.mean_Y(0) == 1);
      CHECK(series.Y(1e6, 0.5) < 1e-12);
      CHECK(series.Y(infinity, 0) == 0);
    }
  }
}

TEST_CASE("the step is felt at the surface first: where it is taken as unfelt, the series says so too") {
  for (const SeriesShape shape : shapes) {
    for (const double biot : biots) {
      CAPTURE(biot);
      const StepSeries series(shape, biot);
      for (const double position : {0.0, 0.3, 0.7, coldbag::untouched_position}) {
        CAPTURE(position);
        CHECK(series.Y(0.9 * coldbag::lowest_fourier, position) == 1);
        CHECK(within(series.Y(coldbag::lowest_fourier, position), 1, 1e-12));
      }
    }
  }
}

TEST_CASE("Y falls with time and towards the surface, and the faster the larger the Biot number") {
  for (const SeriesShape shape : shapes) {
    for (const double biot : biots) {
      CAPTURE(biot);
      const StepSeries series(shape, biot);
      for (double fourier = 0.02; fourier < 3; fourier *= 1.5) {
        CAPTURE(fourier);
        for (double position = 0; position < 0.95; position += 0.1) {
          CAPTURE(position);
          CHECK(series.Y(1.5 * fourier, position) < series.Y(fourier, position));
          CHECK(series.Y(fourier, position + 0.1) < series.Y(fourier, position));
          CHECK(series.Y(fourier, position) < 1);
          CHECK(series.Y(fourier, position) > 0);
        }
      }
    }
    for (int i = 0; i + 1 < 6; ++i) {
      CHECK(StepSeries(shape, biots[i + 1]).Y(0.3, 0.2) < StepSeries(shape, biots[i]).Y(0.3, 0.2));
    }
  }
}

TEST_CASE("the first terms are roots of their equations") {
  for (const double biot : {coldbag::lowest_biot, 0.03, 0.7, 12.0, 900.0, coldbag::highest_biot}) {
    CAPTURE(biot);
    const double wall_z = StepSeries(SeriesShape::plane_wall, biot).first_term().z;
    CHECK(within(wall_z * std::sin(wall_z), biot * std::cos(wall_z), 1e-14 * biot, 1e-12));
    const double cylinder_z = StepSeries(SeriesShape::infinite_cylinder, biot).first_term().z;
    CHECK(within(cylinder_z * std::cyl_bessel_j(1.0, cylinder_z), biot * std::cyl_bessel_j(0.0, cylinder_z),
                 1e-14 * biot, 1e-12));
  }
}

TEST_CASE("at a small Biot number the body warms as one, with h A over m c") {
  // z1^2 = Bi (1 - Bi/3) for the wall and 2 Bi (1 - Bi/4) for the cylinder, from the equations' own
  // expansions.
  const double biot = coldbag::lowest_biot;
  for (const double fourier : {10.0, 300.0, 1500.0}) {
    CAPTURE(fourier);
    CHECK(within(StepSeries(SeriesShape::plane_wall, biot).mean_Y(fourier),
                 std::exp(-biot * (1 - biot / 3) * fourier), 1e-6));
    CHECK(within(StepSeries(SeriesShape::infinite_cylinder, biot).mean_Y(fourier),
                 std::exp(-2 * biot * (1 - biot / 4) * fourier), 1e-6));
  }
}

TEST_CASE("the largest Biot number all but meets the infinite one") {
  for (const SeriesShape shape : shapes) {
    const StepSeries large(shape, coldbag::highest_biot);
    const StepSeries infinite(shape, infinity);
    for (double fourier = 0.001; fourier < 2; fourier *= 2) {
      for (const double position : {0.0, 0.5, 0.9, 1.0}) {
        CHECK(within(large.Y(fourier, position), infinite.Y(fourier, position), 3e-5));
      }
    }
  }
}

TEST_CASE("an infinite Biot number holds the surface at the medium's temperature") {
  for (const SeriesShape shape : shapes) {
    const StepSeries series(shape, infinity);
    for (const double fourier : {coldbag::lowest_fourier, 0.01, 0.5}) {
      CHECK(within(series.Y(fourier, 1), 0, 1e-12));
    }
  }
}

TEST_CASE("a wall whose surface is held equals the sum of images") {
  // The same wall solved for early times (error functions); textbook, from memory.
  const StepSeries series(SeriesShape::plane_wall, infinity);
  for (const double fourier : {1e-4, 4e-4, 3e-3, 0.05, 0.3, 1.0}) {
    for (const double position : {0.0, 0.35, 0.8, 0.97}) {
      CAPTURE(fourier);
      CAPTURE(position);
      double felt = 0;
      for (int n = 0; n < 20; ++n) {
        const double sign = n % 2 == 0 ? 1 : -1;
        felt += sign * (std::erfc((2 * n + 1 - position) / (2 * std::sqrt(fourier))) +
                        std::erfc((2 * n + 1 + position) / (2 * std::sqrt(fourier))));
      }
      CHECK(within(series.Y(fourier, position), 1 - felt, 1e-12));
    }
  }
}

TEST_CASE("the series equals the inverse of the step's Laplace transform") {
  // Worked out with mpmath 1.3 (Talbot contour, 30 digits) from cosh and I0 of the root of s: no eigenvalue
  // in it.
  struct Row {
    SeriesShape shape;
    double biot, fourier, position, Y;
  };
  constexpr SeriesShape wall = SeriesShape::plane_wall;
  constexpr SeriesShape cylinder = SeriesShape::infinite_cylinder;
  const Row rows[] = {
      {wall, 0.001, 0.0001, 1, 0.9999887163083},
      {wall, 0.001, 0.03, 0.5, 0.9999962784896},
      {wall, 0.001, 0.5, 0.3, 0.9996209915301},
      {wall, 0.3, 0.0001, 1, 0.9966238422283},
      {wall, 0.3, 0.002, 0.9, 0.9990846708879},
      {wall, 0.3, 0.5, 0.3, 0.900720723137},
      {wall, 20, 0.0001, 1, 0.8090195199016},
      {wall, 20, 0.0001, 0.98, 0.9819569263521},
      {wall, 20, 0.03, 0, 0.9999530822738},
      {wall, 20, 0.5, 0.3, 0.3736020453228},
      {wall, 1e6, 0.0001, 1, 5.641895807268e-5},
      {wall, 1e6, 0.0001, 0.98, 0.8427215462492},
      {wall, 1e6, 0.03, 0.5, 0.9587735713326},
      {cylinder, 0.001, 0.0001, 1, 0.9999886660251},
      {cylinder, 0.001, 0.03, 0.5, 0.9999944424416},
      {cylinder, 0.001, 0.5, 0.3, 0.9992053511288},
      {cylinder, 0.3, 0.0001, 1, 0.9966088249852},
      {cylinder, 0.3, 0.0001, 0.98, 0.9996950613982},
      {cylinder, 0.3, 0.002, 0.9, 0.9990230770688},
      {cylinder, 0.3, 0.5, 0.3, 0.8005348993299},
      {cylinder, 20, 0.0001, 1, 0.8082648139986},
      {cylinder, 20, 0.002, 0.9, 0.9563373795619},
      {cylinder, 20, 0.03, 0, 0.9997475231723},
      {cylinder, 20, 0.5, 0.3, 0.1028909890553},
      {cylinder, 1e6, 0.0001, 1, 5.591759137015e-5},
      {cylinder, 1e6, 0.0001, 0.98, 0.8411220856303},
      {cylinder, 1e6, 0.5, 0.3, 0.07769468996454},
      {cylinder, infinity, 0.0001, 0.98, 0.8411012007802},
      {cylinder, infinity, 0.002, 0.9, 0.8799492778826},
      {cylinder, infinity, 0.03, 0, 0.9995322733472},
      {cylinder, infinity, 0.5, 0.3, 0.07769421898637},
  };
  for (const Row& row : rows) {
    CAPTURE(row.biot);
    CAPTURE(row.fourier);
    CAPTURE(row.position);
    CHECK(within(StepSeries(row.shape, row.biot).Y(row.fourier, row.position), row.Y, 1e-12));
  }
}

TEST_CASE("what the surface lets in is what the body gains") {
  for (const SeriesShape shape : shapes) {
    // Surface over volume, times L.
    const double surface = shape == SeriesShape::plane_wall ? 1 : 2;
    for (const double biot : {0.01, 0.8, 30.0}) {
      const StepSeries series(shape, biot);
      for (double fourier = 0.001; fourier < 5; fourier *= 3) {
        CAPTURE(biot);
        CAPTURE(fourier);
        const double step = 1e-4 * fourier;
        const double gain = (series.mean_Y(fourier - step) - series.mean_Y(fourier + step)) / (2 * step);
        CHECK(within(gain, surface * biot * series.Y(fourier, 1), 1e-9, 1e-6));
      }
    }
  }
}

TEST_CASE("the mean is the mean of Y over the volume") {
  for (const double biot : {0.01, 3.0, infinity}) {
    const StepSeries wall(SeriesShape::plane_wall, biot);
    const StepSeries cylinder(SeriesShape::infinite_cylinder, biot);
    for (const double fourier : {0.01, 0.2, 1.0}) {
      CAPTURE(biot);
      CAPTURE(fourier);
      CHECK(within(wall.mean_Y(fourier), integral_to_1([&](double x) { return wall.Y(fourier, x); }), 1e-7));
      CHECK(within(cylinder.mean_Y(fourier),
                   integral_to_1([&](double r) { return 2 * r * cylinder.Y(fourier, r); }), 1e-7));
    }
  }
}

TEST_CASE("a body's Y is the product of its directions', each with its own Biot and Fourier number") {
  const double time_s = 5000;
  const auto wall_Y = [&](double half_m, double x_m) {
    return StepSeries(SeriesShape::plane_wall, 50 * half_m / 0.4)
        .Y(1.3e-7 * time_s / (half_m * half_m), x_m / half_m);
  };
  const auto radial_Y = [&](double radius_m, double r_m) {
    return StepSeries(SeriesShape::infinite_cylinder, 50 * radius_m / 0.4)
        .Y(1.3e-7 * time_s / (radius_m * radius_m), r_m / radius_m);
  };
  const SeriesBody brick = coldbag::brick_body(0.10, 0.06, 0.08, sawdust);
  CHECK(within(coldbag::Y_at(brick, time_s, {0.02, 0.03, 0.07}),
               wall_Y(0.10, 0.02) * wall_Y(0.06, 0.03) * wall_Y(0.08, 0.07), 1e-15));
  const SeriesBody bag = coldbag::cylinder_body(0.05, 0.1, sawdust);
  CHECK(within(coldbag::Y_at(bag, time_s, {0.01, 0.06}), radial_Y(0.05, 0.01) * wall_Y(0.1, 0.06), 1e-15));
  const SeriesBody bar = coldbag::bar_body(0.04, 0.09, sawdust);
  CHECK(within(coldbag::Y_at(bar, time_s, {0.01, 0.06}), wall_Y(0.04, 0.01) * wall_Y(0.09, 0.06), 1e-15));
  CHECK(coldbag::Y_at(coldbag::plane_wall_body(0.04, sawdust), time_s, {0.01}) == wall_Y(0.04, 0.01));
  CHECK(coldbag::Y_at(coldbag::infinite_cylinder_body(0.05, sawdust), time_s, {0.01}) ==
        radial_Y(0.05, 0.01));
}

TEST_CASE("heat taken up by a product is that of its directions, one after the other") {
  // Q/Qmax = q1 + q2 (1 - q1) + q3 (1 - q1)(1 - q2): the second direction heats what the first has left cold.
  const double time_s = 3000;
  const auto taken = [&](double half_m) {
    return 1 - coldbag::mean_Y(coldbag::plane_wall_body(half_m, sawdust), time_s);
  };
  const double q1 = taken(0.10), q2 = taken(0.06), q3 = taken(0.08);
  CHECK(within(1 - coldbag::mean_Y(coldbag::brick_body(0.10, 0.06, 0.08, sawdust), time_s),
               q1 + q2 * (1 - q1) + q3 * (1 - q1) * (1 - q2), 1e-14));
}

TEST_CASE("a body endless in one direction is the body without it") {
  const SeriesBody bar = coldbag::bar_body(0.05, 0.07, sawdust);
  const SeriesBody long_brick = coldbag::brick_body(0.05, 0.07, 20, sawdust);
  const SeriesBody rod = coldbag::infinite_cylinder_body(0.05, bathed);
  const SeriesBody long_bag = coldbag::cylinder_body(0.05, 20, bathed);
  for (const double time_s : {600.0, 6000.0, 20000.0}) {
    CAPTURE(time_s);
    CHECK(within(coldbag::Y_at(long_brick, time_s), coldbag::Y_at(bar, time_s), 1e-12));
    CHECK(within(coldbag::Y_at(long_bag, time_s), coldbag::Y_at(rod, time_s), 1e-12));
  }
}

TEST_CASE("the time at which the centre reaches Y gives back that Y") {
  const SeriesBody bodies[] = {
      coldbag::plane_wall_body(0.06, bathed),
      coldbag::infinite_cylinder_body(0.05, sawdust),
      coldbag::bar_body(0.05, 0.05, bathed),
      coldbag::brick_body(0.06, 0.09, 0.10, sawdust),
      coldbag::cylinder_body(0.05, 0.10, bathed),
      coldbag::brick_body(0.001, 0.5, 0.5, bathed),
      coldbag::cylinder_body(0.05, 0.10, {0.05, 0.4, 1.3e-7}),
  };
  for (const SeriesBody& body : bodies) {
    double earlier_s = 0;
    for (const double Y : {0.9999, 0.99, 0.9, 0.6, 0.3, 0.1, 0.02, 1e-4, 1e-9}) {
      CAPTURE(Y);
      const double time_s = coldbag::centre_time_s(body, Y);
      CHECK(within(coldbag::Y_at(body, time_s), Y, 0, 1e-11));
      CHECK(time_s > earlier_s);
      earlier_s = time_s;
    }
  }
}

TEST_CASE("the straight line of fh and j runs late at first and is met at last") {
  for (const SeriesBody& body :
       {coldbag::cylinder_body(0.05, 0.10, sawdust), coldbag::brick_body(0.06, 0.09, 0.10, bathed)}) {
    const coldbag::HeatingLine line = coldbag::centre_line(body);
    const auto line_s = [&](double Y) { return line.fh_s * std::log10(line.j / Y); };
    CHECK(line_s(0.9) > 1.05 * coldbag::centre_time_s(body, 0.9));
    CHECK(within(coldbag::centre_time_s(body, 0.2), line_s(0.2), 0, 0.02));
    CHECK(within(coldbag::centre_time_s(body, 1e-5), line_s(1e-5), 0, 1e-4));
    // A tenth a time of fh.
    const double late_s = 5 * line.fh_s;
    CHECK(within(coldbag::Y_at(body, late_s + line.fh_s), coldbag::Y_at(body, late_s) / 10, 0, 1e-4));
  }
}

TEST_CASE(
    "lag goes with the square of the size: twice the mass of the same shape takes 1.587 times as long") {
  const double growth = std::cbrt(2.0);
  const SeriesBody one = coldbag::brick_body(0.06, 0.09, 0.10, bathed);
  const SeriesBody twice = coldbag::brick_body(0.06 * growth, 0.09 * growth, 0.10 * growth, bathed);
  CHECK(within(coldbag::centre_time_s(twice, 0.1) / coldbag::centre_time_s(one, 0.1), std::pow(2, 2.0 / 3),
               1e-10));
  // Where a film holds the heat back, lag goes less than with the square.
  const SeriesBody filmed = coldbag::brick_body(0.06, 0.09, 0.10, sawdust);
  const SeriesBody filmed_twice = coldbag::brick_body(0.06 * growth, 0.09 * growth, 0.10 * growth, sawdust);
  CHECK(coldbag::centre_time_s(filmed_twice, 0.1) / coldbag::centre_time_s(filmed, 0.1) < 1.58);
}

TEST_CASE("what the series do not cover is our fault") {
  for (const SeriesShape shape : shapes) {
    for (const double biot : {0.0, 0.9e-3, 1.1e6, -1.0, -infinity, not_a_number}) {
      CAPTURE(biot);
      CHECK_THROWS_AS(StepSeries(shape, biot), coldbag::OurFault);
    }
    const StepSeries series(shape, 2);
    for (const double position : {-0.1, 1.001, not_a_number}) {
      CHECK_THROWS_AS((void)series.Y(0.1, position), coldbag::OurFault);
    }
    for (const double fourier : {-0.1, not_a_number}) {
      CHECK_THROWS_AS((void)series.Y(fourier, 0), coldbag::OurFault);
      CHECK_THROWS_AS((void)series.mean_Y(fourier), coldbag::OurFault);
    }
    CHECK_THROWS_AS((void)series.Y(0.9e-4, 0.89), coldbag::OurFault);
    CHECK_THROWS_AS((void)series.mean_Y(0.9e-4), coldbag::OurFault);
  }
  for (const double half_m : {0.0, -0.1, infinity, not_a_number}) {
    CHECK_THROWS_AS((void)coldbag::plane_wall_body(half_m, sawdust), coldbag::OurFault);
  }
  for (const StepHeating& heating :
       {StepHeating{0, 0.4, 1e-7}, StepHeating{not_a_number, 0.4, 1e-7}, StepHeating{50, 0, 1e-7},
        StepHeating{50, infinity, 1e-7}, StepHeating{50, 0.4, 0}, StepHeating{50, 0.4, not_a_number}}) {
    CHECK_THROWS_AS((void)coldbag::plane_wall_body(0.05, heating), coldbag::OurFault);
  }
  const SeriesBody bar = coldbag::bar_body(0.05, 0.05, sawdust);
  CHECK_THROWS_AS((void)coldbag::Y_at(bar, 100, {0, 0, 0.01}), coldbag::OurFault);
  CHECK_THROWS_AS((void)coldbag::Y_at(bar, 100, {0.051, 0}), coldbag::OurFault);
  CHECK_THROWS_AS((void)coldbag::Y_at(bar, -1), coldbag::OurFault);
  for (const double Y : {0.0, 1.0, -0.5, 1.5, not_a_number}) {
    CHECK_THROWS_AS((void)coldbag::centre_time_s(bar, Y), coldbag::OurFault);
  }
}
