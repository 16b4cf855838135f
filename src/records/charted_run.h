// What of a run is followed over the years: a figure for each question, and what it was judged from.
#pragma once

#include "records/history.h"
#include "run/run_report.h"

#include <optional>
#include <string>
#include <vector>

namespace coldbag {

/// Each is none where the report has none.
struct ChartedRun {
  std::uint64_t number = 0; ///< of its entry
  std::string name;
  ClockedInstant began;
  bool is_imported = false; ///< from another ledger: perhaps another vessel of the same name
  std::string vessel;       ///< keys, "" for none
  std::string treatment;
  std::string treatment_name;
  std::string bag; ///< kind of the coldest probed bag
  std::optional<Verdict> verdict;
  std::optional<double> core_lag_minutes;    ///< longest of the probed bags, behind the steam
  std::optional<double> come_up_minutes;     ///< from steam on to where the steam was within 2 K of its top
  std::optional<double> margin_decades;      ///< log10 of F over what is needed, in the bag that decides
  std::optional<double> hold_margin_minutes; ///< hold beyond what is needed, where no F is
  std::optional<double> plateau_degC;        ///< mean of the steam from within 2 K of its top to steam off
  std::optional<double> F_minutes;           ///< of the bag that decides
  std::optional<double> hold_minutes;
  std::vector<std::string> logs; ///< their SHA-256, in order
  std::vector<Sha256> readings;  ///< of each probe to 0.01 K, whatever its name and the time; in order
  int burst_bags = 0;            ///< bag_burst events
  std::vector<std::string> burst_probes; ///< probes that were in them
  std::vector<OrganismResult> organisms; ///< of the coldest bag
  std::string coldest;                   ///< its probe
  UnitSystem units = UnitSystem::metric;
};

/// Figures of a report; those of the entry (number, name, began, vessel) stay empty.
[[nodiscard]] ChartedRun charted_run(const RunReport& report);

/// A ledger with its runs charted; their reports are not kept.
struct ChartedHistory {
  History history;
  std::vector<ChartedRun> runs; ///< in order of time
};

/// Throws UserError as read_history does, and where a kept report cannot be read.
[[nodiscard]] ChartedHistory charted_history(const Store& store);

} // namespace coldbag
