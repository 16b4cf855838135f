// How much heat goes through a vessel's wall.
#pragma once

#include <span>

namespace coldbag {

/// From the wall of a vessel to still air, W/m2K: radiation e sigma (Tw^2 + Ta^2)(Tw + Ta), and natural
/// convection 1.42 (dT / L)^0.25 at an upright wall of L = 1 m (a handbook's simplified relation for air that
/// flows in layers, from memory). A tall hot wall loses somewhat more, wind much more.
/// wall_degC, air_degC: -60 to 400; emissivity: 0 to 1 (all checked).
[[nodiscard]] double bare_W_per_m2K(double wall_degC, double air_degC, double emissivity);

/// One material that heat goes through.
struct WallLayer {
  double thickness_m = 0; ///< 0 or more (checked)
  double W_per_mK = 0;    ///< thermal conductivity; above 0 (checked)
  bool operator==(const WallLayer&) const = default;
};

/// Through a flat wall from the steam to the air, per area, W/m2K: resistances in series. A film is above 0
/// (checked), and infinity where the temperature given is that of the face itself; something must resist
/// (checked).
[[nodiscard]] double layered_W_per_m2K(std::span<const WallLayer> layers, double inside_W_per_m2K,
                                       double outside_W_per_m2K);

/// Through a round wall, layers from the inside out, per metre of its length, W/m. inner_radius_m: above 0
/// (checked); films as above, each on its own face; difference_K: inside less outside.
[[nodiscard]] double pipe_loss_W_per_m(double inner_radius_m, std::span<const WallLayer> layers,
                                       double inside_W_per_m2K, double outside_W_per_m2K,
                                       double difference_K);

/// Water of a film of condensate, taken midway between steam and wall; the heat of evaporation is that of the
/// steam.
struct FilmWater {
  double kg_per_m3 = 0;
  double cp_J_per_kgK = 0;
  double W_per_mK = 0;
  double viscosity_Pa_s = 0;
  double latent_J_per_kg = 0;
  bool operator==(const FilmWater&) const = default;
};

/// Mean over an upright wall on which clean steam condenses, W/m2K. Nusselt's smooth film up to Re 30,
/// Kutateladze's wavy one up to Re 1800, both in the closed form of Incropera et al., ch. 10 (from memory,
/// guarded by tests/published/wall_test.cpp); the vapour's density is left out. Air in the steam can halve
/// it. Properties, height and difference above 0, Re at most 1800 (all checked).
[[nodiscard]] double condensing_film_W_per_m2K(const FilmWater& water, double height_m, double difference_K);

/// Area of the sphere of this volume, m2: no vessel that holds so much has less wall. volume_m3: 0 or more
/// (checked).
[[nodiscard]] double least_area_m2(double volume_m3);

} // namespace coldbag
