// What a run warns of, and what happened in it, as lines of text.
#pragma once

#include "report/words.h"

#include <string>

namespace coldbag {

/// Film over its limit: it stands before any verdict. "" where there is nothing to say.
[[nodiscard]] std::string film_lines(const RunReport& report, const Words& words);
/// The other cautions under their heading, dangers first; "" where there are none.
[[nodiscard]] std::string caution_lines(const RunReport& report, const Words& words);
/// What was amiss with the probes, under its heading; "" where nothing was.
[[nodiscard]] std::string fault_lines(const RunReport& report, const Words& words);
/// Events, stated or seen in the log, under their heading; "" where there are none.
[[nodiscard]] std::string event_lines(const RunReport& report, const Words& words);

} // namespace coldbag
