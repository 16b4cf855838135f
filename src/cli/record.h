// coldbag record: the ledger of runs.
#pragma once

#include <string>
#include <vector>

namespace coldbag {

/// Throws UserError; the exit status else: 0, or 1 where a ledger does not verify.
[[nodiscard]] int record_command(const std::vector<std::string>& arguments);

} // namespace coldbag
