#include "cli/record_chosen.h"

#include "run/report_words.h"

#include <string>

namespace coldbag {

std::vector<ChartedRun> chosen_runs(const RecordWork& work, std::vector<ChartedRun> runs) {
  const auto from_us = day_option(work.given, "from");
  const auto before_us = day_option(work.given, "before");
  std::erase_if(runs, [&](const ChartedRun& run) {
    const auto is_other = [&](const char* option, std::string_view own) {
      return work.given.has(option) && work.given.text(option) != own;
    };
    const std::int64_t at_us = run.began.at.time_since_epoch().count();
    return is_other("run", run.name) || is_other("vessel", run.vessel) ||
           is_other("treatment", run.treatment) || is_other("bag", run.bag) ||
           is_other("verdict", run.verdict ? word(*run.verdict) : "") || (from_us && at_us < *from_us) ||
           (before_us && at_us >= *before_us);
  });
  return runs;
}

} // namespace coldbag
