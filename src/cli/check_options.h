// The options of `check`, grouped as its help shows them, and what they say of a run.
#pragma once

#include "cli/options.h"
#include "report/words.h"
#include "run/run_input.h"

#include <map>
#include <string>
#include <vector>

namespace coldbag {

[[nodiscard]] boost::program_options::options_description check_options(const Words& words);

/// Those of them that say how a run is judged.
[[nodiscard]] boost::program_options::options_description judging_options(const Words& words);

/// What was given of these, by the name of the option.
[[nodiscard]] std::map<std::string, std::vector<std::string>> judging_given(const Given& given,
                                                                            const Words& words);

/// Throws UserError where an option contradicts another or cannot be understood.
[[nodiscard]] RunOptions read_check_options(const Given& given, const TableFiles& tables);

} // namespace coldbag
