// The [probes.NAME] tables of a document, for site and run files alike.
#pragma once

#include "farm/keyed.h"
#include "farm/probe.h"

#include <vector>

namespace coldbag {

/// Reads [probes.NAME] of this table in file order; faults go to the table's document.
[[nodiscard]] std::vector<Probe> read_probe_tables(KeyedTable& root);

} // namespace coldbag
