#include "sizing/vessel_figures.h"

#include "tables/figures.h"

#include <array>

namespace coldbag {

namespace {

constexpr std::string_view table_name = "vessel-figures.csv";
constexpr double s_per_h = 3600;
constexpr double Pa_per_kPa = 1000;

constexpr std::array<FigureRule, 32> rules{{
    {"air-around", "degC", -40, 60},
    {"air-left", "1", 0, 0.5},
    {"bags-most", "1", 0.1, 1},
    {"cool-core", "degC", 5, 60},
    {"cool-core-straw", "degC", 5, 60},
    {"cube-over-sphere", "1", 1, 10},
    {"doubt-metal", "1", 0, 1},
    {"doubt-open-fire", "1", 0, 1},
    {"doubt-supply", "1", 0, 1},
    {"doubt-walls", "1", 0, 1},
    {"dryness", "1", 0.5, 1},
    {"feed-water", "degC", 0, 99},
    {"film-in-air", "W/m2K", 1, 100},
    {"gap", "m", 0, 1},
    {"gap-wall", "m", 0, 1},
    {"headroom", "m", 0, 1},
    {"insulation-conductivity", "W/mK", 0.001, 10},
    {"insulation-outside", "W/m2K", 1, 100},
    {"insulation-thickness", "m", 0.001, 1},
    {"longest-steam", "h", 1, 500},
    {"metal-aluminium", "J/kgK", 100, 5000},
    {"metal-concrete", "J/kgK", 100, 5000},
    {"metal-stainless", "J/kgK", 100, 5000},
    {"metal-steel", "J/kgK", 100, 5000},
    {"open-steam", "degC", 30, 100},
    {"plate-rated", "kg/m2", 1, 1000},
    {"plate-vented", "kg/m2", 1, 1000},
    {"purge-volumes", "1", 0, 50},
    {"shelf", "m", 0, 1},
    {"vent-back-pressure", "kPa", 0.01, 10},
    {"wall-emissivity", "1", 0, 1},
    {"water-reserve", "1", 0, 5},
}};

} // namespace

VesselFigures read_vessel_figures(std::string_view source_name, std::string_view csv) {
  const Figures table = Figures::read(source_name, csv, rules);
  VesselFigures out;
  out.air_around_degC = table.at("air-around");
  out.air_left = table.at("air-left");
  out.bags_most = table.at("bags-most");
  out.cool_core_degC = table.at("cool-core");
  out.cool_core_straw_degC = table.at("cool-core-straw");
  out.cube_over_sphere = table.at("cube-over-sphere");
  out.doubt_metal = table.at("doubt-metal");
  out.doubt_open_fire = table.at("doubt-open-fire");
  out.doubt_supply = table.at("doubt-supply");
  out.doubt_walls = table.at("doubt-walls");
  out.dryness = table.at("dryness");
  out.feed_water_degC = table.at("feed-water");
  out.film_in_air_W_per_m2K = table.at("film-in-air");
  out.gap_m = table.at("gap");
  out.gap_wall_m = table.at("gap-wall");
  out.headroom_m = table.at("headroom");
  out.shelf_m = table.at("shelf");
  out.insulation_W_per_mK = table.at("insulation-conductivity");
  out.insulation_outside_W_per_m2K = table.at("insulation-outside");
  out.insulation_thickness_m = table.at("insulation-thickness");
  out.longest_steam_s = table.at("longest-steam") * s_per_h;
  out.aluminium_J_per_kgK = table.at("metal-aluminium");
  out.concrete_J_per_kgK = table.at("metal-concrete");
  out.stainless_J_per_kgK = table.at("metal-stainless");
  out.steel_J_per_kgK = table.at("metal-steel");
  out.open_steam_degC = table.at("open-steam");
  out.plate_rated_kg_per_m2 = table.at("plate-rated");
  out.plate_vented_kg_per_m2 = table.at("plate-vented");
  out.purge_volumes = table.at("purge-volumes");
  out.vent_back_pressure_Pa = table.at("vent-back-pressure") * Pa_per_kPa;
  out.wall_emissivity = table.at("wall-emissivity");
  out.water_reserve = table.at("water-reserve");
  return out;
}

VesselFigures read_vessel_figures(const TableFiles& tables) {
  return read_vessel_figures(tables.source_name(table_name), tables.bytes(table_name));
}

} // namespace coldbag
