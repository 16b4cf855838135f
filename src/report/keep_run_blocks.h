// How a run that was judged is kept in a ledger, as a command to type.
#pragma once

#include "report/block.h"
#include "report/words.h"

#include <map>
#include <string>
#include <vector>

namespace coldbag {

/// options: texts by the name of the option, none for a flag.
[[nodiscard]] Blocks keep_run_blocks(const std::vector<std::string>& paths,
                                     const std::map<std::string, std::vector<std::string>>& options,
                                     const Words& words);

} // namespace coldbag
