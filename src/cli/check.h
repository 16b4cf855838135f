// coldbag check: judge one run or many.
#pragma once

#include <string>
#include <vector>

namespace coldbag {

[[nodiscard]] int check_command(const std::vector<std::string>& arguments);

} // namespace coldbag
