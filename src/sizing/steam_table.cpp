#include "sizing/steam_table.h"

#include "steam/latent_heat.h"

#include <algorithm>
#include <array>
#include <cstddef>

namespace coldbag {

namespace {

constexpr double from_degC = 0.01;
constexpr double step_K = 0.5;
constexpr std::size_t nodes = 401;
using SteamTable = std::array<Saturated, nodes>;

SteamTable make_table() {
  SteamTable table;
  for (std::size_t i = 0; i < nodes; ++i) {
    const double t_degC = from_degC + step_K * static_cast<double>(i);
    table[i] = {water_enthalpy_J_per_kg(t_degC), steam_enthalpy_J_per_kg(t_degC),
                1 / steam_specific_volume_m3_per_kg(t_degC)};
  }
  return table;
}

} // namespace

Saturated saturated(double t_degC) {
  static const SteamTable table = make_table();
  const double at = std::clamp((t_degC - from_degC) / step_K, 0.0, static_cast<double>(nodes - 1) - 1e-9);
  const auto i = static_cast<std::size_t>(at);
  const double over = at - static_cast<double>(i);
  const Saturated& a = table[i];
  const Saturated& b = table[i + 1];
  return {a.water_J_per_kg + over * (b.water_J_per_kg - a.water_J_per_kg),
          a.steam_J_per_kg + over * (b.steam_J_per_kg - a.steam_J_per_kg),
          a.steam_kg_per_m3 + over * (b.steam_kg_per_m3 - a.steam_kg_per_m3)};
}

} // namespace coldbag
