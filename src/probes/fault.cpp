#include "probes/fault.h"

#include <algorithm>

namespace coldbag {

std::string_view effect_text(FaultEffect effect) {
  switch (effect) {
  case FaultEffect::stretch_not_credited:
    return "stretch_not_credited";
  case FaultEffect::probe_not_relied_on:
    return "probe_not_relied_on";
  default:
    return "told";
  }
}

Said said_of(const Fault& fault) {
  return {"fault_" + fault.kind + (fault.variant.empty() ? "" : "_" + fault.variant), fault.values};
}

bool is_relied_on(const std::vector<Fault>& faults) {
  return std::none_of(faults.begin(), faults.end(),
                      [](const Fault& fault) { return fault.effect == FaultEffect::probe_not_relied_on; });
}

} // namespace coldbag
