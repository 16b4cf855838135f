// What makes the steam's heat, as fuels.csv describes it, and how much of it a load takes.
#pragma once

#include "tables/edition.h"

#include <string>
#include <string_view>
#include <vector>

namespace coldbag {

/// In what a fuel is sold; inside the program J, kg or m3.
enum class SoldBy { energy, mass, volume };

/// One row of fuels.csv. A unit of fuel is 1 J, 1 kg or 1 m3, as it is sold.
struct Fuel {
  std::string key;
  std::string words; ///< what growers write for it, joined by "|"
  std::string name;
  SoldBy sold_by = SoldBy::mass;
  double heat_J_per_unit = 0;   ///< gross heating value; 1 where it is sold by energy
  double lowest_efficiency = 0; ///< share of that heat which usually reaches the water, above 0, up to 1
  double highest_efficiency = 0;
  std::string efficiency_basis; ///< what the two efficiencies rest on
  std::string source;           ///< key of sources.csv, "" where there is none
  std::string locator;
  std::string basis; ///< what the heating value rests on
  std::string note;
  bool operator==(const Fuel&) const = default;
};

/// Every row of a table, in its order. Throws UserError with every fault: those of Table::read, efficiencies
/// that run backwards, a heat that no fuel sold that way has.
[[nodiscard]] std::vector<Fuel> read_fuels(std::string_view source_name, std::string_view csv);
/// Those of fuels.csv.
[[nodiscard]] std::vector<Fuel> read_fuels(const TableFiles& tables);

/// The fuel whose key or one of whose words stands in what a person wrote ("Propane, two bottles"); where
/// several do, the one named first, and the longer word where two begin together ("wood pellets" is no wood).
/// Null where no word is known: what is burned is never guessed.
[[nodiscard]] const Fuel* find_fuel(const std::vector<Fuel>& fuels, std::string_view words);

/// Units of fuel (J, kg or m3) that bring so much heat to the water. heat_to_water_J: 0 or more; efficiency:
/// share of the fuel's heat that reaches the water, above 0, up to 1 (both checked).
[[nodiscard]] double fuel_per_heat(const Fuel& fuel, double heat_to_water_J, double efficiency);

} // namespace coldbag
