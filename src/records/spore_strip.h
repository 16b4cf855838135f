// Strips of spores that went through a run, beside what its coldest bag foretells of them.
#pragma once

#include "records/fields.h"
#include "records/trend_figures.h"
#include "run/run_report.h"

#include <cstdint>
#include <optional>
#include <string>

namespace coldbag {

/// Strips of spores beside what the coldest probed bag foretells.
struct StripResult {
  enum class Says {
    nothing,      ///< no control, or none of the control grew
    little,       ///< part of the control grew
    clean,        ///< none from the run grew
    as_foretold,  ///< some grew, as the heat of the coldest bag lets expect
    beyond,       ///< more grew than that
    grew_unknown, ///< some grew, and nothing foretells how many
  };
  std::uint64_t number = 0; ///< of the run's entry
  std::string run, organism, organism_name, where;
  std::optional<Verdict> verdict;
  int strips = 0, grown = 0, control_strips = 0, control_grown = 0;
  std::optional<double> left_on_each;      ///< spores expected, by the best estimate
  std::optional<double> most_left_on_each; ///< by the lower bound of the decades
  std::optional<double> expected_grown;    ///< strips, by the best estimate
  std::optional<double> most_expected_grown;
  bool beyond_range = false; ///< outside the temperatures of the organism's figures
  Says says = Says::nothing;
};

/// What a strip says. `organism`: what the coldest bag's report tells of its organism, nullptr for none.
[[nodiscard]] StripResult strip_result(const FieldTexts& fields, const OrganismResult* organism,
                                       const TrendFigures& figures);

} // namespace coldbag
