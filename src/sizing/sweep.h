// Many plans at once: what varies, what each comes to, which is best within limits.
#pragma once

#include "sizing/plan_report.h"

#include <cstddef>
#include <functional>
#include <optional>
#include <string>
#include <vector>

namespace coldbag {

/// One request of a sweep, and what of it differs from the others, as it was written.
struct SweepPoint {
  std::vector<std::string> labels;
  PlanRequest request;
};

/// How one came out: a plan, or why there is none.
struct SweepRow {
  std::vector<std::string> labels;
  std::optional<PlanReport> report; ///< without curve, cooling and good end
  std::vector<Complaint> refused;   ///< empty where there is a plan
  double bags_per_day = 0;          ///< one load after the other, with the pause between
};

/// Plans every point, on all cores; rows in the order of points. `between_s`: from steam off to the next
/// steam on. `is_done` is called after each, from any thread.
[[nodiscard]] std::vector<SweepRow> sweep(const std::vector<SweepPoint>& points, const SizingTables& tables,
                                          double between_s, const std::function<void()>& is_done);

/// What a grower cannot go beyond.
struct SweepLimits {
  std::optional<double> steam_s;   ///< of a run, its slow end
  std::optional<double> come_up_s; ///< its slow end
  std::optional<double> water_kg;
};

/// The plan with most bags a day within the limits (among equals, that with least heat a bag), and what keeps
/// the next larger load from it.
struct BestRow {
  std::optional<std::size_t> row;  ///< none fits
  std::optional<std::size_t> next; ///< the smallest load that is larger
  std::vector<Said> why_not_next;  ///< "size_over_…"
};
[[nodiscard]] BestRow best_of(const std::vector<SweepRow>& rows, const SweepLimits& limits);

/// Whether a boiler manages.
struct BoilerAnswer {
  double come_up_s = 0;                 ///< asked
  std::optional<int> most_bags;         ///< of the first kind, come up in that time at the slow end; 0: none
  bool room_is_the_limit = false;       ///< more would not fit
  std::optional<double> power_needed_W; ///< for the load as it is, slow end; none: no heat is enough
};
/// Largest load that comes up in the time given, and the heat that the wanted load would need. The request's
/// own plan must stand (else UserError).
[[nodiscard]] BoilerAnswer ask_boiler(const PlanRequest& request, const SizingTables& tables,
                                      double come_up_s);

} // namespace coldbag
