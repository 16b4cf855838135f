// What happened in a run: as stated, and as the log shows where nobody stated it.
#pragma once

#include "run/criteria.h"
#include "run/dangers.h"
#include "run/run_report.h"

#include <optional>
#include <vector>

namespace coldbag {

/// When steam went off as the trace shows: the last time a steam probe was near its plateau, where every such
/// probe has fallen 10 K; without a steam probe, the first bag to leave its plateau, where all have.
[[nodiscard]] std::optional<double> steam_off_seen_s(const std::vector<Measured>& probes);

/// When steam came on as the trace shows: the first steam probe to warm, else the first bag.
[[nodiscard]] std::optional<double> steam_on_seen_s(const RunInput& input, const Dangers& dangers);

/// Falls as fast as an opening, of the steam probes, else of the bags; in order of time.
[[nodiscard]] std::vector<double> openings_seen_s(const RunInput& input, const Dangers& dangers);

/// True where 10 K have been lost since the plateau.
[[nodiscard]] bool fell(const ProbeMeasures& measures);

[[nodiscard]] bool is_opening(EventKind kind);

/// First stated event of a kind.
[[nodiscard]] std::optional<double> stated_s(const RunInput& input, EventKind kind);

/// Every stated event, and steam on, steam off, opening and cooling as seen where they were not stated; in
/// order of time.
[[nodiscard]] std::vector<EventResult> events_of(const RunInput& input, const Dangers& dangers,
                                                 const std::vector<Measured>& probes);

} // namespace coldbag
