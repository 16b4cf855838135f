// The check that stays on in Release: when it fails, the program is wrong, not the user.
#pragma once

#include <stdexcept>

namespace coldbag {

/// Thrown by our_check. Caught only in cli/ (and web/), which says that the fault is the program's.
class OurFault : public std::logic_error {
 public:
  using std::logic_error::logic_error;
};

/// Where in our sources; clang 14 has no std::source_location with Debian 12's library.
struct CodePlace {
  const char* file;
  int line;
};

[[noreturn]] void report_our_fault(const char* claim, CodePlace where = {__builtin_FILE(), __builtin_LINE()});

/// Throws OurFault when what must hold does not. `claim` states what should have been true.
inline void our_check(bool holds, const char* claim, CodePlace where = {__builtin_FILE(), __builtin_LINE()}) {
  if (!holds) report_our_fault(claim, where);
}

} // namespace coldbag
