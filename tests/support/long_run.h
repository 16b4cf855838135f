// Whether the long run is asked for.
#pragma once

#include <cstddef>
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

/// Whether the n-th of many alike is tried: each, but each fifth in a sanitized build, where one takes ten
/// times as long and what is looked for is a fault of memory.
inline bool is_in_turn(std::size_t n) {
#ifdef COLDBAG_SANITIZED
  return n % 5 == 0;
#else
  static_cast<void>(n);
  return true;
#endif
}

} // namespace coldbag::test
