// A judged run's report as text for an 80-column screen.
#pragma once

#include "report/words.h"

#include <string>

namespace coldbag {

struct TextOptions {
  bool is_full = false; ///< bands, bounds, log reductions, evidence, how it was computed
  bool has_colour = false;
  std::string log_argument; ///< as typed, for the lines to type next on a bare log
};

/// The whole report; one screen unless `is_full`. Where nothing was judged: what the logs show, and what to
/// type next.
[[nodiscard]] std::string run_text(const RunReport& report, const Words& words, const TextOptions& options);

/// One line: verdict, treatment, coldest bag; for many runs at once.
[[nodiscard]] std::string run_line(const RunReport& report, const Words& words);

} // namespace coldbag
