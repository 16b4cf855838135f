// The steam that heated a load, as its probe and the pressure told it.
#pragma once

#include "heatup/steam_trace.h"
#include "run/load_basis.h"

#include "quantity/said.h"

#include <optional>

namespace coldbag {

inline constexpr double near_top_K = 2; ///< a core counts as arrived this far under the steam's top

struct LoadSteam {
  SteamTrace trace;
  double top_degC = 0; ///< of its plateau
  double near_top_at_s = 0;
  double ku_K = 0; ///< of its probe
};

struct FoundSteam {
  std::optional<LoadSteam> steam;
  std::optional<Said> why_not;
};

/// From the first probe in the steam that is relied on and covers the run: it begins with the bags' readings,
/// ends with them or with the steam, and is silent for no longer than the treatment bridges. Pressure as
/// logged, else the larger of the air's outside and saturation.
[[nodiscard]] FoundSteam load_steam(const LoadBasis& basis);

/// The steam with its plateau drawn out by so much at `at_s`.
[[nodiscard]] SteamTrace drawn_out(const SteamTrace& steam, double at_s, double by_s);

/// Within what the bag model is made for.
[[nodiscard]] double held_to_model_degC(double degC);

} // namespace coldbag
