#include "sizing/wall.h"

#include "errors/our_fault.h"

#include <cmath>
#include <numbers>

namespace coldbag {

namespace {

constexpr double zero_degC_K = 273.15;
constexpr double stefan_boltzmann_W_per_m2K4 = 5.670374419e-8; // CODATA 2018, from memory
constexpr double gravity_m_per_s2 = 9.81;                      // as handbooks of heat transfer take it

bool is_surrounding(double t_degC) {
  return t_degC >= -60 && t_degC <= 400;
}

void check_films(double inside_W_per_m2K, double outside_W_per_m2K) {
  our_check(inside_W_per_m2K > 0 && outside_W_per_m2K > 0, "a film is above 0 W/m2K");
}

void check_layer(const WallLayer& layer) {
  our_check(layer.thickness_m >= 0, "a layer is not thinner than nothing");
  our_check(layer.W_per_mK > 0, "a conductivity is above 0");
}

} // namespace

double bare_W_per_m2K(double wall_degC, double air_degC, double emissivity) {
  our_check(is_surrounding(wall_degC) && is_surrounding(air_degC), "wall and air are at -60 to 400 degC");
  our_check(emissivity >= 0 && emissivity <= 1, "an emissivity is a share");
  const double wall_K = wall_degC + zero_degC_K;
  const double air_K = air_degC + zero_degC_K;
  const double radiation =
      emissivity * stefan_boltzmann_W_per_m2K4 * (wall_K * wall_K + air_K * air_K) * (wall_K + air_K);
  const double height_m = 1;
  const double convection = 1.42 * std::pow(std::abs(wall_K - air_K) / height_m, 0.25);
  return radiation + convection;
}

double layered_W_per_m2K(std::span<const WallLayer> layers, double inside_W_per_m2K,
                         double outside_W_per_m2K) {
  check_films(inside_W_per_m2K, outside_W_per_m2K);
  double resistance_m2K_per_W = 1 / inside_W_per_m2K + 1 / outside_W_per_m2K;
  for (const WallLayer& layer : layers) {
    check_layer(layer);
    resistance_m2K_per_W += layer.thickness_m / layer.W_per_mK;
  }
  our_check(resistance_m2K_per_W > 0, "something resists the heat");
  return 1 / resistance_m2K_per_W;
}

double pipe_loss_W_per_m(double inner_radius_m, std::span<const WallLayer> layers, double inside_W_per_m2K,
                         double outside_W_per_m2K, double difference_K) {
  our_check(inner_radius_m > 0, "a radius is above 0");
  check_films(inside_W_per_m2K, outside_W_per_m2K);
  double radius_m = inner_radius_m;
  double resistance_mK_per_W = 1 / (inside_W_per_m2K * inner_radius_m); // times 2 pi, as all of them
  for (const WallLayer& layer : layers) {
    check_layer(layer);
    resistance_mK_per_W += std::log1p(layer.thickness_m / radius_m) / layer.W_per_mK;
    radius_m += layer.thickness_m;
  }
  resistance_mK_per_W += 1 / (outside_W_per_m2K * radius_m);
  our_check(resistance_mK_per_W > 0, "something resists the heat");
  return 2 * std::numbers::pi * difference_K / resistance_mK_per_W;
}

double condensing_film_W_per_m2K(const FilmWater& water, double height_m, double difference_K) {
  our_check(water.kg_per_m3 > 0 && water.cp_J_per_kgK > 0 && water.W_per_mK > 0 && water.viscosity_Pa_s > 0 &&
                water.latent_J_per_kg > 0,
            "every property of the film's water is above 0");
  our_check(height_m > 0 && difference_K > 0, "a film has a height, and a wall colder than the steam");
  // Rohsenow: what condenses is cooled as well, by 0.68 of the difference.
  const double released_J_per_kg = water.latent_J_per_kg + 0.68 * water.cp_J_per_kgK * difference_K;
  const double viscosity_m2_per_s = water.viscosity_Pa_s / water.kg_per_m3;
  const double film_m = std::cbrt(viscosity_m2_per_s * viscosity_m2_per_s / gravity_m_per_s2);
  const double group =
      water.W_per_mK * height_m * difference_K / (water.viscosity_Pa_s * released_J_per_kg * film_m);
  const double smooth_reynolds = 3.78 * std::pow(group, 0.75);
  const double reynolds = smooth_reynolds <= 30 ? smooth_reynolds : std::pow(3.70 * group + 4.8, 0.82);
  our_check(reynolds <= 1800, "the film does not run in eddies");
  return reynolds * water.viscosity_Pa_s * released_J_per_kg / (4 * height_m * difference_K);
}

double least_area_m2(double volume_m3) {
  our_check(volume_m3 >= 0, "a volume is not negative");
  return std::cbrt(36 * std::numbers::pi * volume_m3 * volume_m3);
}

} // namespace coldbag
