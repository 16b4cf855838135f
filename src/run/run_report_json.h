// A run's report as JSON, and back; the keys are documented in docs/formats/check-json.md.
#pragma once

#include "run/run_report.h"

#include <string>
#include <string_view>

namespace coldbag {

/// One object, English keys, SI units in the names; ends with a newline.
/// Bytes of a name that are no UTF-8 are replaced. Every figure must be finite (checked).
[[nodiscard]] std::string report_json(const RunReport& report);

/// The report that `report_json` wrote, every member as it was: printed again it says what it said. What the
/// JSON leaves null because nothing was judged has its default. Throws UserError with every fault found, each
/// with source name and path of the key: no JSON, a key missing, unknown or doubled, a wrong type, a word
/// that is none, or what does not agree with the rest. Guarded by tests/run/run_report_json_test.cpp.
[[nodiscard]] RunReport read_report_json(std::string_view source_name, std::string_view json);

/// What a log showed of how its bags heat, alone: "rests_on", "run", "heating", "slowest_unprobed",
/// "pattern", "load_not_judged", tables and version. docs/formats/lag-json.md.
[[nodiscard]] std::string heating_json(const RunReport& report);

} // namespace coldbag
