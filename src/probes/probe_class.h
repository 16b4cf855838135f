// What a kind of probe is good for before anyone has checked it.
#pragma once

#include "tables/edition.h"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace coldbag {

/// How a tolerance is spread: rectangular (every error within it as likely as another) or normal (it is twice
/// the standard uncertainty, coverage factor 2).
enum class Distribution { rectangular, normal };

/// One class of probe-classes.csv.
struct ProbeClass {
  std::string key;        ///< "tc-k2"
  std::string name;       ///< "thermocouple K, class 2"
  std::string kind;       ///< "platinum", "thermocouple", "thermistor", "dial", "kitchen" or "unstated"
  double tolerance_K = 0; ///< the part that does not change with temperature; above 0
  double tolerance_per_K =
      0; ///< further tolerance for each degree of |t| (IEC 60751 writes 0.15 + 0.002 |t|)
  Distribution distribution = Distribution::rectangular;
  std::optional<double> lowest_degC;  ///< the tolerance holds from here
  std::optional<double> highest_degC; ///< and up to here
  std::optional<double> stem_K;       ///< half-width for heat that a stem carries to or from the tip
  std::string source;                 ///< key of sources.csv, "" where there is none
  std::string basis;                  ///< "published", "common practice", "from memory", "assumed" or "site"
  std::string note;
  bool operator==(const ProbeClass&) const = default;
};

/// Every class of a table, in its order. Throws UserError with every fault: those of Table::read, and a range
/// that runs backwards.
[[nodiscard]] std::vector<ProbeClass> read_probe_classes(std::string_view source_name, std::string_view csv);
/// Those of probe-classes.csv.
[[nodiscard]] std::vector<ProbeClass> read_probe_classes(const TableFiles& tables);

/// The class of this key, or null.
[[nodiscard]] const ProbeClass* find_probe_class(const std::vector<ProbeClass>& classes,
                                                 std::string_view key);

/// Tolerance at a temperature, K: tolerance_K + tolerance_per_K |t|.
[[nodiscard]] double class_tolerance_K(const ProbeClass& probe_class, double at_degC);

/// Standard uncertainty of an unchecked probe of this class at a temperature, K: tolerance / sqrt 3
/// (rectangular) or / 2 (normal), with stem_K / sqrt 3 added in squares. Outside the range for which the
/// tolerance holds, the tolerance is added once more as a rectangular term of its own: the maker's promise
/// has ended and nothing better is known. JCGM 100:2008, 4.3 and 5.1.2, from memory. Drift, resolution and
/// later checks are not in it.
[[nodiscard]] double class_u_K(const ProbeClass& probe_class, double at_degC);

} // namespace coldbag
