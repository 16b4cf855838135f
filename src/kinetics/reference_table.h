// The references for F that references.csv names.
#pragma once

#include "kinetics/lethality.h"
#include "tables/edition.h"

#include <string>
#include <string_view>
#include <vector>

namespace coldbag {

/// A reference with what it rests on.
struct NamedReference {
  std::string key;     ///< "f0"
  Reference reference; ///< lowest_degC from counts_from_degC
  std::string source;  ///< key of sources.csv, "" where there is none
  std::string basis;   ///< "published", "common practice", "from memory", "assumed" or "site"
  bool operator==(const NamedReference&) const = default;
};

/// Every reference of a table, in its order. Throws UserError with every fault, as Table::read does.
[[nodiscard]] std::vector<NamedReference> read_references(std::string_view source_name, std::string_view csv);
/// Those of references.csv.
[[nodiscard]] std::vector<NamedReference> read_references(const TableFiles& tables);

/// The reference of this key, or null.
[[nodiscard]] const NamedReference* find_reference(const std::vector<NamedReference>& references,
                                                   std::string_view key);

} // namespace coldbag
