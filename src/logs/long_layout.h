// Logs with a row for each time and probe: which column names the probe, which holds its reading.
#pragma once

#include "logs/source.h"
#include "logs/understanding.h"

#include <span>
#include <vector>

namespace coldbag {

/// Looks through the whole log for the names in a column of probes, and where there are several puts a column
/// for each of them behind those of the file. Such a log has one column of temperatures.
void find_long_layout(const Source& source, Understanding& understanding);

} // namespace coldbag
