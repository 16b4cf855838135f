// The days on which bad bags are counted: those of the table, rising.
#include "run/follow_up.h"

#include <doctest/doctest.h>

using namespace coldbag;

TEST_CASE("bad bags are counted on days of the table, which rise") {
  const std::vector<int> days = read_follow_up_days(TableFiles::built_in());
  // Common practice, no source.
  CHECK(days == std::vector<int>{3, 7, 14, 21, 28});
}
