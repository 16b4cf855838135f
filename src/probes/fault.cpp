#include "probes/fault.h"

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

} // namespace coldbag
