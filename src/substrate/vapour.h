// Heat that water vapour carries through open pores: it evaporates on the hot side and condenses on the cold.
#pragma once

#include "substrate/packing.h"

#include <cstddef>
#include <vector>

namespace coldbag {

enum class Closure { breathing, sealed, open };

/// Figures of bag-heating.csv.
struct PoreRules {
  double tortuosity = 0;      ///< Penman 1940, from memory
  double open_share = 0;      ///< of the open pores that works in a bag that breathes
  double sealed_share = 0;    ///< the same in a sealed bag
  double filling_open_to = 0; ///< filling of the pores up to which the rest is open
  double filling_shut_from = 0;
  double filling_least = 0; ///< share that stays open beyond filling_shut_from
  bool operator==(const PoreRules&) const = default;
};

/// Share f of the vapour term that works in a substrate: air-filled porosity x tortuosity x closure x how
/// open the filling leaves the pores (falling smoothly) x water activity. 0 to 1.
[[nodiscard]] double vapour_share(const Packing& packing, Closure closure, const PoreRules& rules);

/// Water activity (relative humidity over the substrate), 0 to 1, from dry-basis moisture in %: the inverse
/// of the two-hydrate sorption equation of Hailwood and Horrobin with the Wood Handbook's constants
/// (FPL-GTR-190, 2010, Eq. 4-5, from memory) at 60 C; 1 from where that equation reaches 1 on. Guarded by
/// tests/published/substrate_test.cpp.
[[nodiscard]] double water_activity(double dry_basis_percent);

/// Diffusivity of water vapour in air, m2/s: 2.17e-5 (T/273.15)^1.88 at 101,325 Pa, less at higher pressure.
/// From memory; t_degC -40 to 200.
[[nodiscard]] double vapour_diffusivity_m2_per_s(double t_degC, double abs_pressure_Pa);

/// What the vapour term is made of, tabulated once, since the steam tables are slow: from it the conductivity
/// that vapour adds to a wet pore, Dv (Mw / R T) P / max(P - pv, kept P) hfg dpsat/dT, W/mK, at any pressure.
/// Stefan diffusion (from memory), pv at saturation by IAPWS R7-97(2012). Guarded by
/// tests/published/substrate_test.cpp.
class VapourTable {
 public:
  static constexpr double lowest_degC = -40;
  static constexpr double highest_degC = 200;
  static constexpr double step_K = 0.25;

  VapourTable();
  /// Nodes run from lowest to highest by step_K.
  [[nodiscard]] std::size_t nodes() const { return strength_.size(); }
  /// Conductivity that vapour adds at a node, air keeping at least that share of the pressure in the pores.
  [[nodiscard]] double added_W_per_mK(std::size_t node, double abs_pressure_Pa, double air_kept) const;

 private:
  std::vector<double> strength_; ///< of the whole but for 1 / air pressure: W Pa / mK
  std::vector<double> saturation_Pa_;
};

} // namespace coldbag
