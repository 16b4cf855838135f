// A bag heating in steam: conduction and vapour in finite volumes, energy kept to rounding.
#pragma once

#include "heatup/steam_trace.h"
#include "substrate/heat_capacity.h"
#include "substrate/vapour.h"

#include <array>
#include <optional>
#include <string_view>
#include <vector>

namespace coldbag {

enum class BagForm { brick, column, slab };
/// "brick", "column", "slab": the words of a site file.
[[nodiscard]] std::string_view form_text(BagForm form);

/// A bag as the model sees it.
struct BagBody {
  BagForm form = BagForm::brick;
  /// Brick: half of each side; column: radius, half height; slab: half thickness. Above 0.
  std::array<double, 3> half_m{};
  double density_kg_per_m3 = 0;
  double mass_kg = 0;
  Enthalpy enthalpy;
  double conductivity_W_per_mK = 0;       ///< without vapour
  double vapour_share = 0;                ///< of VapourTable's conductivity that is added
  std::array<double, 3> film_W_per_m2K{}; ///< on the faces across each direction
  double air_kept = 0.03;
  /// Steam reaches its pores: it is driven by no more than the boiling point at the vessel's pressure, and
  /// flashes when that falls.
  bool is_breathing = true;

  /// How many of half_m count: 3, 2, 1.
  [[nodiscard]] int directions() const;
  /// The direction with the shortest half_m.
  [[nodiscard]] int shortest() const;
};

/// Factors on what is least known.
struct Multipliers {
  double conductivity = 1;
  double vapour = 1;
  double film = 1;
  bool operator==(const Multipliers&) const = default;
};

/// How finely a bag is reckoned.
struct Fineness {
  int cells = 8;       ///< along each half side
  double bend_K = 1.2; ///< a step is as long as no cell bends further than about this from a straight line
  double most_step_s = 1200;
  bool operator==(const Fineness&) const = default;
};

/// The working grid and step of a bag, finer where steam heats the surface fast. docs/mathematics/heating.md
/// gives what they cost and err; guarded by tests/heatup/bag_model_test.cpp.
[[nodiscard]] Fineness working_fineness(const BagBody& body, const Multipliers& multipliers);

struct BagPlan {
  double from_s = 0;
  double to_s = 0;
  double start_degC = 20;           ///< the whole bag; -40 to 200
  double probe_off_m = 0;           ///< how far from the centre a probe sits, along the shortest half side
  std::optional<Fineness> fineness; ///< none: the working one
  /// The history ends with the first moment at which the core is so hot; none: with the plan.
  std::optional<double> until_core_degC = std::nullopt;
};

struct BagMoment {
  double time_s = 0;
  double core_degC = 0;
  double probe_degC = 0;   ///< the same as core_degC where probe_off_m is 0
  double mean_degC = 0;    ///< temperature at which the whole bag would hold as much heat
  double surface_degC = 0; ///< middle of the nearest face
  double heat_J = 0;       ///< taken up through the surface since the start
  double flashed_J = 0;    ///< carried off by vapour that boiled off since then
};

struct BagHistory {
  std::vector<BagMoment> moments;    ///< the first is that of the plan, the last too unless the core ended it
  double stored_J = 0;               ///< change of the heat held, from first to last
  double hottest_over_boiling_K = 0; ///< last moment: hottest cell less the boiling point there
};

/// Heats a bag in steam. Finite volumes on an eighth of a brick (a quarter of a column's section, half a
/// slab); direction by direction, each implicit of second order (SDIRK, gamma = 1 - 1/sqrt 2, L-stable),
/// order of directions turned round from step to step; face fluxes from the integral of k dT at the vessel's
/// mean pressure of the step; the vessel averaged over each step. Stored is enthalpy: what flows in is its
/// change, so heat_J - flashed_J equals stored_J but for rounding (checked). The trace must cover the plan
/// (checked). Guarded by tests/heatup/bag_model_test.cpp and tests/published/bag_heating_test.cpp.
[[nodiscard]] BagHistory heat_bag(const BagBody& body, const Multipliers& multipliers,
                                  const SteamTrace& steam, const VapourTable& vapour, const BagPlan& plan);

/// When a history first reaches a core temperature; straight between moments. None where it does not.
[[nodiscard]] std::optional<double> core_reaches_s(const BagHistory& history, double degC);

} // namespace coldbag
