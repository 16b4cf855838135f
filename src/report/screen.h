// Blocks as text for an 80-column screen.
#pragma once

#include "report/block.h"

#include <string>

namespace coldbag {

/// An empty line stands before a heading of level 2 or 3. What is for paper alone is left out. `has_colour`:
/// the verdict's word stands out.
[[nodiscard]] std::string screen_text(const Blocks& blocks, bool has_colour = false);

} // namespace coldbag
