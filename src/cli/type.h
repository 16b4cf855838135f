// coldbag type: a paper sheet of readings into a plain log.
#pragma once

#include <string>
#include <vector>

namespace coldbag {

[[nodiscard]] int type_command(const std::vector<std::string>& arguments);

} // namespace coldbag
