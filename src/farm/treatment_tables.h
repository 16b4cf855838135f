// The [[treatment]] tables of a document, for site files and for the built-in treatments alike.
#pragma once

#include "farm/keyed.h"
#include "farm/treatment.h"

#include <vector>

namespace coldbag {

/// Reads [[treatment]] of this table; faults go to the table's document.
[[nodiscard]] std::vector<Treatment> read_treatment_tables(KeyedTable& root);

} // namespace coldbag
