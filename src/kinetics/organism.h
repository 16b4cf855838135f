// Heat resistance of organisms as organisms.csv holds it.
#pragma once

#include "tables/edition.h"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace coldbag {

/// D and z of one organism. D counts for log-linear death in moist heat, inside the range measured. An empty
/// optional means that the source does not say.
struct Organism {
  std::string key;
  std::string name;
  std::string kind;     ///< "bacterial spore", "conidium", "ascospore" or "vegetative cell"
  double D_minutes = 0; ///< minutes at at_degC that leave one in ten alive; above 0
  std::optional<double> lowest_D_minutes;
  std::optional<double> highest_D_minutes;
  double at_degC = 0; ///< temperature of D
  double z_K = 0;     ///< kelvin that change D tenfold; above 0
  std::optional<double> lowest_z_K;
  std::optional<double> highest_z_K;
  std::optional<double> lowest_degC;        ///< measured from here; at or below at_degC
  std::optional<double> highest_degC;       ///< measured up to here; at or above at_degC
  std::optional<double> lowest_moisture_wb; ///< wet-basis fraction below which the figures are not claimed
  std::string medium;
  std::string source; ///< key of sources.csv
  std::string locator;
  std::string basis; ///< "published", "common practice", "from memory", "assumed" or "site"
  std::string note;
  bool operator==(const Organism&) const = default;
};

/// Every organism of a table, in its order. Throws UserError with every fault: those of Table::read, and
/// ranges that leave out the value they belong to.
[[nodiscard]] std::vector<Organism> read_organisms(std::string_view source_name, std::string_view csv);
/// Those of organisms.csv.
[[nodiscard]] std::vector<Organism> read_organisms(const TableFiles& tables);

/// The organism of this key, or null.
[[nodiscard]] const Organism* find_organism(const std::vector<Organism>& organisms, std::string_view key);

} // namespace coldbag
