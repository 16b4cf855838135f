// Many plans held side by side, as text.
#pragma once

#include "report/words.h"
#include "sizing/beside_plan.h"

#include <string>
#include <vector>

namespace coldbag {

/// `heads`: over the labels. The best row is marked where limits or several rows ask for it.
[[nodiscard]] std::string sweep_text(const std::vector<std::string>& heads, const std::vector<SweepRow>& rows,
                                     const BestRow& best, const Words& words);

} // namespace coldbag
