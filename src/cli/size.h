// `coldbag size`: how many bags, how long, how much steam and fuel, before a run.
#pragma once

#include <string>
#include <vector>

namespace coldbag {

/// Runs the command; returns the exit status: 0 planned, 2 where the slow end never gets enough.
[[nodiscard]] int size_command(const std::vector<std::string>& arguments);

} // namespace coldbag
