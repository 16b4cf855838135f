// coldbag setup: write a new site file.
#pragma once

#include <string>
#include <vector>

namespace coldbag {

[[nodiscard]] int setup_command(const std::vector<std::string>& arguments);

} // namespace coldbag
