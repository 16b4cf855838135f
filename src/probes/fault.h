// What was seen amiss in a probe's record: kind, when, what was seen, and what it costs.
#pragma once

#include "quantity/said.h"

#include <string>
#include <string_view>
#include <vector>

namespace coldbag {

enum class FaultEffect {
  told,                 ///< said, costs nothing
  stretch_not_credited, ///< from from_s to to_s nothing is earned
  probe_not_relied_on   ///< the whole probe leaves the judgement
};
[[nodiscard]] std::string_view effect_text(FaultEffect effect);

struct Fault {
  std::string kind; ///< "spike"; its words are those of "fault_spike"
  double from_s = 0;
  double to_s = 0;
  SaidValues values; ///< what was seen
  FaultEffect effect = FaultEffect::told;
  std::string variant; ///< behind the kind in the key of words, where a kind has several: "seen_late"
  bool operator==(const Fault&) const = default;
};

/// The words of a fault: "fault_", the kind, and "_" with the variant where it has one.
[[nodiscard]] Said said_of(const Fault& fault);

/// False where one of them takes the whole probe out of the judgement.
[[nodiscard]] bool is_relied_on(const std::vector<Fault>& faults);

} // namespace coldbag
