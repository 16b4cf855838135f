// The sheet of a run that is printed, signed and filed: what an inspector follows to the raw readings.
#pragma once

#include "report/block.h"
#include "report/words.h"

#include <string>

namespace coldbag {

/// What a ledger adds to a run's sheet.
struct OfLedger {
  Blocks where;            ///< stands behind the verdict
  std::string json_sha256; ///< of the report as the ledger has it
};

/// Verdict and chart first; then probes, events, load, what was read and what was not; then what is written
/// by hand (disposition, corrective action, signatures with their meaning); last every figure and how it was
/// computed. It rests on the report alone, holds each number of it that is no curve, and names the hash of
/// its JSON. A heat verdict says nothing of what becomes of the bags: that is ticked by a person.
/// `of`: nullptr for a run that is in no ledger.
[[nodiscard]] Blocks inspection_blocks(const RunReport& report, const Words& words,
                                       const OfLedger* of = nullptr);

} // namespace coldbag
