// coldbag sheet: a blank run sheet on paper, for a run without a logger.
#pragma once

#include <string>
#include <vector>

namespace coldbag {

[[nodiscard]] int sheet_command(const std::vector<std::string>& arguments);

} // namespace coldbag
