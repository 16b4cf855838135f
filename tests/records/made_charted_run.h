// Invented figures of runs for tests, a run a day.
#pragma once

#include "records/charted_run.h"

#include <chrono>
#include <cstdint>
#include <string>
#include <vector>

namespace coldbag::test {

/// Scatter that is the same every time: about normal, mean 0, standard deviation 1.
class Scatter {
 public:
  explicit Scatter(std::uint64_t seed) : state_(seed) {}
  double next() {
    double sum = -6;
    for (int i = 0; i < 12; ++i) {
      state_ = state_ * 6364136223846793005ULL + 1442695040888963407ULL;
      sum += static_cast<double>(state_ >> 11) / 9007199254740992.0;
    }
    return sum;
  }

 private:
  std::uint64_t state_;
};

[[nodiscard]] inline ChartedRun made_charted_run(std::uint64_t number) {
  ChartedRun run;
  run.number = number;
  run.name = "run-" + std::to_string(number);
  run.began.at = Instant(std::chrono::hours(24 * (20454 + number))); // from 2026-01-01 on
  run.vessel = "autoclave";
  run.bag = "brick";
  run.treatment = run.treatment_name = "sterilize";
  run.verdict = Verdict::pass;
  return run;
}

/// Runs whose core lag is this.
[[nodiscard]] inline std::vector<ChartedRun> runs_of_lags(const std::vector<double>& minutes) {
  std::vector<ChartedRun> runs;
  for (const double lag : minutes) {
    runs.push_back(made_charted_run(runs.size() + 1));
    runs.back().core_lag_minutes = lag;
  }
  return runs;
}

} // namespace coldbag::test
