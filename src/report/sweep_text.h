// Many plans side by side as text and JSON-free tables: sweeps, supplies, what a boiler manages.
#pragma once

#include "report/words.h"
#include "sizing/sweep.h"

#include <string>
#include <vector>

namespace coldbag {

/// `heads`: over the labels. The best row is marked where limits or several rows ask for it.
[[nodiscard]] std::string sweep_text(const std::vector<std::string>& heads, const std::vector<SweepRow>& rows,
                                     const BestRow& best, const Words& words);

[[nodiscard]] std::string boiler_text(const BoilerAnswer& answer, const PlanReport& report,
                                      const Words& words);

} // namespace coldbag
