#include "report/run_blocks.h"

#include "report/layout.h"

namespace coldbag {

namespace {

Blocks judged_blocks(const RunReport& report, const Words& words) {
  Blocks out = run_name_blocks(report, words);
  append(out, film_blocks(report, words));
  out.push_back(verdict_sentence(report, words));
  append(out, why_blocks(report, words));
  append(out, next_blocks(report, words));
  out.push_back(Space{});
  append(out, measured_blocks(report, words));
  append(out, fault_blocks(report, words));
  append(out, caution_blocks(report, words));
  append(out, event_blocks(report, words));
  out.push_back(Space{});
  append(out, site_blocks(report, words));
  append(out, log_blocks(report, words));
  out.push_back(Space{});
  append(out, notes_blocks(report, words));
  return out;
}

Blocks short_blocks(const RunReport& report, const Words& words, const std::string& log_argument) {
  if (!report.runs.empty()) return several_runs_blocks(report, words, "coldbag check " + log_argument);
  if (!report.verdict) return bare_blocks(report, words, log_argument);
  return judged_blocks(report, words);
}

} // namespace

Blocks run_name_blocks(const RunReport& report, const Words& words) {
  Blocks out;
  if (!report.run_name.empty()) out.push_back(Heading{clean(report.run_name), 1});
  if (!report.resteam_of.empty())
    out.push_back(Paragraph{words.text("resteam_of", {{"run", clean(report.resteam_of)}})});
  return out;
}

Blocks run_blocks(const RunReport& report, const Words& words, const std::string& log_argument,
                  bool is_full) {
  Blocks out = short_blocks(report, words, log_argument);
  if (is_full) append(out, full_blocks(report, words));
  return out;
}

} // namespace coldbag
