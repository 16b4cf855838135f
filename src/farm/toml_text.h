// Words as a TOML file takes them.
#pragma once

#include <string>
#include <string_view>

namespace coldbag {

/// A basic string in quotes; quotes, backslashes and control characters are escaped.
[[nodiscard]] std::string toml_text(std::string_view text);

/// A key, bare where it can be.
[[nodiscard]] std::string toml_key(std::string_view name);

} // namespace coldbag
