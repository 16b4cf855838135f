// coldbag lag: how long the core of a bag takes.
#pragma once

#include <string>
#include <vector>

namespace coldbag {

int lag_command(const std::vector<std::string>& arguments);

} // namespace coldbag
