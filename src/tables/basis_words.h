// On what a figure of a table may rest; the words of every `basis` column.
#pragma once

#include <array>
#include <string_view>

namespace coldbag {

inline constexpr std::array<std::string_view, 5> basis_words{"published", "common practice", "from memory",
                                                             "assumed", "site"};

} // namespace coldbag
