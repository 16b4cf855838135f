// Whether the long run is asked for.
#pragma once

#include <cstdlib>
#include <string_view>

namespace coldbag::test {

/// COLDBAG_LONG is 1, and this is no sanitized build, under which the whole seeds would take hours.
inline bool is_long() {
#ifdef COLDBAG_SANITIZED
  return false;
#else
  const char* asked = std::getenv("COLDBAG_LONG");
  return asked != nullptr && std::string_view(asked) == "1";
#endif
}

} // namespace coldbag::test
