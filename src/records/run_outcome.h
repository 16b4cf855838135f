// What became of the bags of one run: how many of how many went bad, when and where.
#pragma once

#include "records/charted_run.h"
#include "records/history.h"
#include "records/trend_figures.h"

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace coldbag {

struct Share {
  int bad = 0;
  int bags = 0;
  bool operator==(const Share&) const = default;
};

void add_to(Share& share, const Share& more);

/// Bad bags found on a day, as one row of an outcome states it.
struct BadFound {
  int day = 0;
  int looked_at = 0;
  int bad = 0;
  std::string kind, place, rack, lot;
};

/// Bags of one run that went on together: an inoculation lot, or all of them.
struct Portion {
  std::string lot; ///< "" for all of the run
  Share share;
  std::vector<std::string> spawn_lots;
  std::string shift, room; ///< "" where it is not told, or several are
};

/// A run somebody looked at afterwards.
struct RunOutcome {
  ChartedRun run;
  Share share;                  ///< cumulative new bad of the bags inoculated, those left out not among them
  bool is_of_looked_at = false; ///< nobody said how many were inoculated: of the most that were looked at
  int last_day = 0;
  int bad_early = 0;           ///< up to the early day
  std::vector<BadFound> found; ///< in order of day
  std::vector<Portion> portions;
  std::vector<std::string> left_out; ///< probe bags and burst bags, by name
  std::string fault;                 ///< key of words: why it is not counted; "" where it is
};

/// Bad bags of all that have this name: of a spawn lot, a day, a kind.
using SharesByName = std::map<std::string, Share>;

/// An outcome, an inoculation or spore strips, as they were stated of a run.
struct RunStatement {
  EntryKind kind = EntryKind::outcome;
  FieldTexts fields; ///< with those of amendments over them
};

/// By the number of the run's entry; what is about several runs at once is left out.
[[nodiscard]] std::map<std::uint64_t, std::vector<RunStatement>> statements_of_runs(const History& history);

/// Nothing where no outcome is among them.
[[nodiscard]] std::optional<RunOutcome>
run_outcome(const ChartedRun& run, const std::vector<RunStatement>& statements, const TrendFigures& figures);

/// A text field, "" where there is none; a count, 0 where there is none.
[[nodiscard]] std::string field_text(const FieldTexts& fields, const std::string& name);
[[nodiscard]] int field_count(const FieldTexts& fields, const std::string& name);

} // namespace coldbag
