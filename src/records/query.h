// Questions that years of runs are asked: what is open, what is due, what came of a lot, which runs a probe
// was in. Pure: of a history that was read.
#pragma once

#include "records/history.h"
#include "run/run_input.h"
#include "tables/edition.h"

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace coldbag {

/// A rule of record-rules.csv.
struct RecordRule {
  std::string key;
  bool is_keep = true; ///< else of review
  int value = 0;       ///< years; working days of review
  std::string source;
};
/// Throws UserError with every fault.
[[nodiscard]] std::vector<RecordRule> read_record_rules(const TableFiles& tables);

/// A deviation that no corrective action closed.
struct OpenDeviation {
  std::uint64_t number = 0;
  std::string run;
  std::string event;
  std::string what;
  ClockedInstant event_at;
};
[[nodiscard]] std::vector<OpenDeviation> open_deviations(const History& history);

/// A run that nobody looked over within the working days (Monday to Friday, by its own clock; feasts are not
/// known), and when that was due.
struct MissingReview {
  std::uint64_t number = 0;
  std::string run;
  std::string verdict;
  WallTime due; ///< the end of this day
};
[[nodiscard]] std::vector<MissingReview> missing_reviews(const History& history, int working_days,
                                                         Instant now);

/// Whether a review of the run's entry stands in the ledger.
[[nodiscard]] bool is_reviewed(const History& history, std::uint64_t run);

/// The wall time of an instant by its own clock.
[[nodiscard]] WallTime wall_of(const ClockedInstant& at);
/// So many working days after the day of `wall`: midnight at its beginning.
[[nodiscard]] WallTime working_days_after(WallTime wall, int days);

/// The last check of a probe, by when it happened: stated in the ledger, or told of by the report of a run
/// that counted on it.
struct LastCheck {
  std::string probe;
  bool is_good = false;
  std::optional<WallTime> on;
  std::optional<WallTime> next_due; ///< as stated, else so many days after it
  std::size_t runs_since = 0;       ///< in which it was
  bool is_overdue = false;          ///< bad, never made, or its next is past
};
/// One for each probe that was in a run or was checked, by name. days: between checks, where nobody stated
/// it.
[[nodiscard]] std::vector<LastCheck> last_checks(const History& history, int days, Instant now);

/// Numbers of the runs in which this probe was, after its last good check; all where it had none. Oldest
/// first.
[[nodiscard]] std::vector<std::uint64_t> runs_since_good_check(const History& history,
                                                               std::string_view probe);

/// Every check of this probe in the ledger, as the engine takes it.
[[nodiscard]] std::vector<StatedCheck> checks_of_probe(const History& history, std::string_view probe);
/// When it was last found good; nothing where it never was.
[[nodiscard]] std::optional<WallTime> last_good_check(const History& history, std::string_view probe);

/// Until when the record of a run is to be kept: the day so many years after it was written down, or after
/// the last statement about it.
struct KeepUntil {
  std::uint64_t number = 0;
  std::string run;
  WallTime until;
  bool is_past = false;
};
[[nodiscard]] std::vector<KeepUntil> keep_until(const History& history, int years, Instant now);

/// What is known of a run's bags on their way: lots that went in, lots that came out, what became of them.
struct LotTrail {
  std::uint64_t number = 0;
  std::string run;
  std::string verdict;
  ClockedInstant event_at;
  std::vector<std::string> went_in; ///< lots of the run file, and material lots
  struct Inoculated {
    std::string lot;
    std::vector<std::string> spawn_lots;
    std::string room;
    std::string bags;
  };
  std::vector<Inoculated> came_out;
  std::vector<std::string> dispositions; ///< "discarded: rack 2", oldest first
  long long bad = 0;                     ///< bags found bad so far
};
/// The trails of all runs.
[[nodiscard]] std::vector<LotTrail> lot_trails(const History& history);
/// Of those, the ones that a lot, a spawn lot, a room or a run of this name is on.
[[nodiscard]] std::vector<LotTrail> trails_of(const std::vector<LotTrail>& all, std::string_view name);

} // namespace coldbag
