// What a plan takes where nobody said it, as vessel-figures.csv gives it.
#pragma once

#include "tables/edition.h"

#include <string_view>

namespace coldbag {

struct VesselFigures {
  double air_around_degC = 0;
  double air_left = 0;
  double bags_most = 0;
  double cool_core_degC = 0, cool_core_straw_degC = 0;
  double cube_over_sphere = 0;
  double doubt_metal = 0, doubt_open_fire = 0, doubt_supply = 0, doubt_walls = 0;
  double dryness = 0;
  double feed_water_degC = 0;
  double film_in_air_W_per_m2K = 0;
  double gap_m = 0, gap_wall_m = 0, headroom_m = 0, shelf_m = 0;
  double insulation_W_per_mK = 0, insulation_outside_W_per_m2K = 0, insulation_thickness_m = 0;
  double longest_steam_s = 0;
  double aluminium_J_per_kgK = 0, concrete_J_per_kgK = 0, stainless_J_per_kgK = 0, steel_J_per_kgK = 0;
  double open_steam_degC = 0;
  double plate_rated_kg_per_m2 = 0, plate_vented_kg_per_m2 = 0;
  double purge_volumes = 0;
  double vent_back_pressure_Pa = 0;
  double wall_emissivity = 0;
  double water_reserve = 0;
  bool operator==(const VesselFigures&) const = default;
};

/// Throws UserError with every fault, as Figures::read does.
[[nodiscard]] VesselFigures read_vessel_figures(std::string_view source_name, std::string_view csv);
/// Those of vessel-figures.csv.
[[nodiscard]] VesselFigures read_vessel_figures(const TableFiles& tables);

} // namespace coldbag
