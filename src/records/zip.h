// Files in one zip archive, by libarchive.
#pragma once

#include "records/ledger.h"

#include <string>
#include <string_view>
#include <vector>

namespace coldbag {

/// An archive of these files in their order, below one folder; "/" in a name parts folders. `at`: the time
/// they are said to be of. Throws UserError (io) where it cannot be made.
[[nodiscard]] std::string zip_bytes(const std::string& folder, const std::vector<KeptFile>& files,
                                    Instant at);

} // namespace coldbag
