// One column of a log on its way to the meters: what it reads passes the checks and is thinned. The checks
// may begin before what is judged does: a come-up that was cut away tells of the probe all the same.
#pragma once

#include "probes/copied.h"
#include "probes/stretch_checks.h"
#include "probes/thinned.h"
#include "run/probe_meter.h"
#include "run/run_input.h"

#include <optional>
#include <vector>

namespace coldbag {

class ProbeStream {
 public:
  /// The stream of input.probes[index]. Without limits in the input nothing is checked.
  ProbeStream(const RunInput& input, std::size_t index);

  /// Rows of its log; every reading that is settled by them goes to each meter.
  void take(const RowBlock& block, const std::vector<ProbeMeter*>& meters);
  /// The log ends here.
  void finish(const std::vector<ProbeMeter*>& meters);

  [[nodiscard]] const ThinTrace& thin() const { return thin_; }
  /// Highest reading as it stands in the log.
  [[nodiscard]] std::optional<double> top_raw() const { return top_raw_; }
  [[nodiscard]] std::vector<Fault> faults() const;
  [[nodiscard]] double resolution_K() const { return checks_ ? checks_->resolution_K() : 0; }
  /// The probe of the input that this one is a copy of: it stands before it in the same log.
  [[nodiscard]] std::optional<std::size_t> copy_of() const;
  [[nodiscard]] std::optional<CopyWatch::Seen> copied() const;

 private:
  struct Pair {
    std::size_t probe = 0; ///< of the input
    std::size_t column = 0;
    CopyWatch watch;
  };
  void begin_anew(const std::vector<ProbeMeter*>& meters);
  void hand_on(const std::vector<ProbeMeter*>& meters);
  void compare(const RowBlock& block);
  [[nodiscard]] const Pair* most_alike() const;

  bool is_pressure_ = false;
  std::size_t column_ = 0;
  double starts_s_ = 0, from_s_ = 0, checked_from_s_ = 0, to_s_ = 0;
  Correction correction_;
  std::optional<double> top_raw_;
  std::optional<CheckLimits> limits_;
  StretchRule rule_;
  std::optional<StretchChecks> checks_;
  std::vector<Fault> faults_before_; ///< seen before the log's clock jumped
  std::vector<Companion> company_;
  std::vector<Pair> pairs_;
  ThinTrace thin_;
  std::vector<CheckedReading> settled_;
};

} // namespace coldbag
