// The judge of one run: takes rows as they come, and says at any time what the run has shown so far.
#pragma once

#include "run/criteria.h"
#include "run/dangers.h"
#include "run/load_judge.h"
#include "run/probe_meter.h"
#include "run/probe_stream.h"
#include "run/run_input.h"
#include "run/run_report.h"

#include <memory>
#include <vector>

namespace coldbag {

/// Built from a RunInput; take() moves it on; report() gives the report up to now and changes nothing;
/// finish() closes the logs and gives the last one. Rows of one log come in order; the order between logs,
/// the size of blocks and the number of threads change no digit.
class Judge {
 public:
  explicit Judge(RunInput input);
  void take(int log, const RowBlock& block);
  [[nodiscard]] RunReport report() const;
  [[nodiscard]] RunReport finish(std::vector<std::vector<CellTally>> unread);

 private:
  /// One treatment watched at every probe.
  struct Watch {
    Treatment treatment;
    std::vector<ProbeMeter> meters; ///< one for each probe of the input; pressure columns have an idle one
    std::vector<HoldMeter> short_of_saturation;
  };
  [[nodiscard]] Understanding understood(std::size_t log) const;
  /// All of it as if every log ended here, and what was then seen amiss with each probe.
  struct Settled {
    std::vector<Watch> watches;
    std::vector<std::vector<Fault>> faults;
    std::vector<ProbeStream> streams;
  };
  void take_saturation(Watch& watch, int log, const RowBlock& block);
  [[nodiscard]] static std::vector<ProbeMeter*> meters_of(std::vector<Watch>& watches, std::size_t i,
                                                          const RunProbe& probe);
  [[nodiscard]] Settled settled() const;
  [[nodiscard]] std::vector<Measured> measured(const Settled& now, const Watch& watch) const;
  [[nodiscard]] Surroundings surroundings(const Watch& watch) const;
  void judge_into(RunReport& report, const Settled& now) const;
  [[nodiscard]] LoadJudgement judged_load(const Settled& now, const std::vector<Measured>& probes,
                                          const RunReport& report) const;

  [[nodiscard]] RunReport judged(const Settled& now) const;
  [[nodiscard]] Curves curves(const Settled& now, const RunReport& report) const;

  RunInput input_;
  Dangers dangers_; ///< of input_
  std::vector<Watch> watches_;
  std::vector<ProbeStream> streams_; ///< one for each probe of the input
  std::vector<std::vector<CellTally>> unread_;
  double most_short_of_saturation_K_ = -1e9;
  bool saturation_seen_ = false;
  bool is_finished_ = false;
};

/// Runs a whole input through the judge.
[[nodiscard]] RunReport judge_run(RunInput input, int block_rows = most_rows_in_block);

} // namespace coldbag
