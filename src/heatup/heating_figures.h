// The figures by which bags are taken to heat, as bag-heating.csv gives them.
#pragma once

#include "substrate/heat_capacity.h"
#include "substrate/vapour.h"
#include "tables/edition.h"

#include <array>
#include <string_view>

namespace coldbag {

struct HeatingFigures {
  PoreRules pores;
  WaterHeat water;
  double air_kept_in_pores = 0; ///< least share of the pressure that air keeps there
  double air_left = 0;          ///< share of the steam space whose effect a forecast tells
  double start_degC = 0;        ///< of bags, where nobody said
  double film_W_per_m2K = 0;
  double film_touching_W_per_m2K = 0;
  double prior_conductivity = 0; ///< standard deviations of the logarithms of the multipliers
  double prior_vapour = 0;
  double prior_film = 0;
  double model_error_K = 0;
  double model_error_correlation_s = 0;
  double described_error = 0; ///< of the logarithm of mass x heat capacity
  double probe_spread = 0;    ///< allowed to the logarithm of one probed bag's speed
  double largest_rms_K = 0;
  double learned_under = 0;
  double partakes = 0; ///< share of a direction from which on a multiplier partakes in it
  double far_multiplier = 0;
  double bag_spread = 0;
  double bag_spread_weight = 0;
  double pattern_runs = 0;               ///< that show a pattern
  double pattern_days = 0;               ///< after which it is to be shown again
  std::array<double, 3> usual_sides_m{}; ///< length, width, height of a brick that nobody measured
  double still_cold_K = 0;               ///< a vessel no hotter than this over its bags has not steamed yet
  double usual_slenderness = 0;          ///< height of a column over its diameter, likewise
  bool operator==(const HeatingFigures&) const = default;
};

/// Throws UserError with every fault, as Figures::read does.
[[nodiscard]] HeatingFigures read_heating_figures(std::string_view source_name, std::string_view csv);
/// Those of bag-heating.csv.
[[nodiscard]] HeatingFigures read_heating_figures(const TableFiles& tables);

} // namespace coldbag
