// The languages there are words of.
#pragma once

#include <array>
#include <string_view>

namespace coldbag {

/// Each has its catalogue, words-en.csv and so on; docs/languages.md says how one is added.
inline constexpr std::array<std::string_view, 2> languages{"en", "es"};

} // namespace coldbag
