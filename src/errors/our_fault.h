// The check that stays on in Release: when it fails, the program is wrong, not the user.
#pragma once

#include <source_location>
#include <stdexcept>

namespace coldbag {

/// Thrown by our_check. Caught only in cli/ (and web/), which says that the fault is the program's.
class OurFault : public std::logic_error {
 public:
  using std::logic_error::logic_error;
};

[[noreturn]] void report_our_fault(const char* claim, std::source_location where);

/// Throws OurFault when what must hold does not. `claim` states what should have been true.
inline void our_check(bool holds, const char* claim,
                      std::source_location where = std::source_location::current()) {
  if (!holds) report_our_fault(claim, where);
}

} // namespace coldbag
