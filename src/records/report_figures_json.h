// The few figures of a report that a line of a table has room for.
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace coldbag {

/// Of the coldest probed bag; nothing where the report tells nothing of it.
struct ReportFigures {
  std::string probe; ///< name of its probe, "" where nothing was judged
  std::string bag;   ///< its kind
  std::optional<double> F_minutes, F_minutes_lower;
  std::optional<double> hold_minutes, hold_minutes_lower;
  std::optional<double> top_degC;
  std::optional<double> lag_minutes; ///< behind the steam
  std::optional<double> bags;        ///< in the load
  std::optional<double> probed_bags;
  bool operator==(const ReportFigures&) const = default;
};

/// Reads them of the leaf of a run's entry. What is not there, or of another kind, is nothing: a ledger keeps
/// reports of every version.
[[nodiscard]] ReportFigures report_figures(std::string_view leaf);

} // namespace coldbag
