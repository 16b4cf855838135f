// coldbag probe: a check of a probe in ice and at the boil, into the site file.
#pragma once

#include <string>
#include <vector>

namespace coldbag {

[[nodiscard]] int probe_command(const std::vector<std::string>& arguments);

} // namespace coldbag
