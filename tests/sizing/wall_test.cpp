#include "sizing/wall.h"

#include "errors/our_fault.h"
#include "support/approx.h"

#include <doctest/doctest.h>

#include <array>
#include <cmath>
#include <limits>
#include <numbers>

using namespace coldbag;
using coldbag::test::within;

namespace {

constexpr double face = std::numeric_limits<double>::infinity(); ///< no film: the face's own temperature
constexpr FilmWater film_at_75_degC{975, 4193, 0.668, 375e-6, 2257e3};

/// Re of the film at the wall's foot, from the heat that has come in above it.
double reynolds(double height_m, double difference_K) {
  const FilmWater& water = film_at_75_degC;
  const double released_J_per_kg = water.latent_J_per_kg + 0.68 * water.cp_J_per_kgK * difference_K;
  return 4 * condensing_film_W_per_m2K(water, height_m, difference_K) * height_m * difference_K /
         (water.viscosity_Pa_s * released_J_per_kg);
}

} // namespace

TEST_CASE("a bare wall at the air's temperature only radiates") {
  // 4 e sigma T^3.
  CHECK(within(bare_W_per_m2K(20, 20, 0.9), 4 * 0.9 * 5.670374e-8 * 293.15 * 293.15 * 293.15, 1e-6));
  CHECK(bare_W_per_m2K(20, 20, 0) == 0);
}

TEST_CASE("a bare wall loses more the hotter and the blacker it is, and takes in as it gives out") {
  CHECK(bare_W_per_m2K(100, 20, 0.9) > bare_W_per_m2K(80, 20, 0.9));
  CHECK(bare_W_per_m2K(100, 20, 0.9) > bare_W_per_m2K(100, 20, 0.1));
  CHECK(bare_W_per_m2K(5, 35, 0.9) == bare_W_per_m2K(35, 5, 0.9));
}

TEST_CASE("resistances of a flat wall stand in series") {
  constexpr std::array steel_and_wool{WallLayer{0.003, 50}, WallLayer{0.05, 0.04}};
  CHECK(layered_W_per_m2K({}, face, 12) == 12);
  CHECK(within(layered_W_per_m2K({}, 12, 12), 6, 1e-12));
  const double R = 1 / 5000.0 + 0.003 / 50 + 0.05 / 0.04 + 1 / 10.0;
  CHECK(within(layered_W_per_m2K(steel_and_wool, 5000, 10), 1 / R, 1e-12));
}

TEST_CASE("a wide pipe is a flat wall") {
  constexpr std::array wool{WallLayer{0.05, 0.04}};
  const double radius_m = 1e5;
  const double flat_W_per_m = layered_W_per_m2K(wool, 50, 10) * 80 * 2 * std::numbers::pi * radius_m;
  CHECK(within(pipe_loss_W_per_m(radius_m, wool, 50, 10, 80), flat_W_per_m, 0, 1e-6));
}

TEST_CASE("a thin pipe loses more through thin insulation than bare, until the critical radius") {
  // Critical radius of insulation k / h (any handbook, from memory): 0.1 / 5 = 0.02 m.
  const auto loss = [](double thickness_m) {
    const std::array layer{WallLayer{thickness_m, 0.1}};
    return pipe_loss_W_per_m(0.005, layer, face, 5, 80);
  };
  CHECK(loss(0.010) > loss(0));
  CHECK(loss(0.015) > loss(0.0149));
  CHECK(loss(0.015) > loss(0.0151));
}

TEST_CASE("heat turns round with the difference") {
  constexpr std::array wool{WallLayer{0.05, 0.04}};
  CHECK(pipe_loss_W_per_m(0.1, wool, 50, 10, -80) == -pipe_loss_W_per_m(0.1, wool, 50, 10, 80));
  CHECK(pipe_loss_W_per_m(0.1, wool, 50, 10, 0) == 0);
}

TEST_CASE("a smooth film follows Nusselt's equation") {
  // Nusselt: h = 0.943 (g rho^2 k^3 h'fg / (mu L dT))^0.25, from memory. The closed form
  // carries 3.78 / 4 = 0.945 in its place.
  const FilmWater& water = film_at_75_degC;
  const double released_J_per_kg = water.latent_J_per_kg + 0.68 * water.cp_J_per_kgK * 2;
  const double inside = 9.81 * water.kg_per_m3 * water.kg_per_m3 * water.W_per_mK * water.W_per_mK *
                        water.W_per_mK * released_J_per_kg / (water.viscosity_Pa_s * 0.1 * 2);
  CHECK(reynolds(0.1, 2) < 30);
  CHECK(within(condensing_film_W_per_m2K(water, 0.1, 2), 0.943 * std::pow(inside, 0.25), 0, 2.5e-3));
}

TEST_CASE("smooth and wavy films meet where ripples begin") {
  double before = condensing_film_W_per_m2K(film_at_75_degC, 0.2, 1);
  for (double difference_K = 1.01; difference_K < 20; difference_K *= 1.01) {
    const double now = condensing_film_W_per_m2K(film_at_75_degC, 0.2, difference_K);
    CAPTURE(difference_K);
    CHECK(within(now, before, 0, 0.006));
    before = now;
  }
}

TEST_CASE("ripples help: a wavy film passes more heat than a smooth one would") {
  const FilmWater& water = film_at_75_degC;
  const double smooth = condensing_film_W_per_m2K(water, 0.05, 2) * std::pow(20, -0.25);
  CHECK(condensing_film_W_per_m2K(water, 1, 2) > smooth);
}

TEST_CASE("no box has less wall than the sphere") {
  CHECK(within(least_area_m2(4.0 / 3.0 * std::numbers::pi), 4 * std::numbers::pi, 1e-12)); // radius 1 m
  CHECK(least_area_m2(8) < 6 * 4);                                                         // cube of 2 m
  CHECK(least_area_m2(0) == 0);
}

TEST_CASE("what no wall is, and a film that runs in eddies, are our fault") {
  constexpr std::array no_conductor{WallLayer{0.05, 0}};
  constexpr std::array thinner{WallLayer{-0.01, 0.04}};
  CHECK_THROWS_AS((void)bare_W_per_m2K(100, 20, 1.1), OurFault);
  CHECK_THROWS_AS((void)bare_W_per_m2K(500, 20, 0.9), OurFault);
  CHECK_THROWS_AS((void)layered_W_per_m2K({}, face, face), OurFault);
  CHECK_THROWS_AS((void)layered_W_per_m2K({}, 0, 10), OurFault);
  CHECK_THROWS_AS((void)layered_W_per_m2K(no_conductor, face, 10), OurFault);
  CHECK_THROWS_AS((void)layered_W_per_m2K(thinner, face, 10), OurFault);
  CHECK_THROWS_AS((void)pipe_loss_W_per_m(0, {}, face, 10, 80), OurFault);
  CHECK_THROWS_AS((void)pipe_loss_W_per_m(0.1, {}, face, face, 80), OurFault);
  CHECK_THROWS_AS((void)pipe_loss_W_per_m(0.1, thinner, face, 10, 80), OurFault);
  CHECK_THROWS_AS((void)condensing_film_W_per_m2K(film_at_75_degC, 1, 0), OurFault);
  CHECK_THROWS_AS((void)condensing_film_W_per_m2K(film_at_75_degC, 3, 60), OurFault); // Re over 1800
  CHECK_THROWS_AS((void)condensing_film_W_per_m2K({}, 1, 50), OurFault);
  CHECK_THROWS_AS((void)least_area_m2(-1), OurFault);
}
