#include "report/run_text.h"

#include "report/run_blocks.h"
#include "report/screen.h"

namespace coldbag {

std::string run_text(const RunReport& report, const Words& words, const TextOptions& options) {
  return screen_text(run_blocks(report, words, options.log_argument, options.is_full), options.has_colour);
}

std::string run_line(const RunReport& report, const Words& words) {
  if (!report.runs.empty()) return words.text("line_several_runs");
  if (!report.verdict) return words.text("line_no_treatment");
  const VerdictSentence line = verdict_sentence(report, words);
  return line.verdict + " " + line.sentence;
}

} // namespace coldbag
