// Figures as reports print them.
#include "report/figures.h"

#include <doctest/doctest.h>

using namespace coldbag;

TEST_CASE("F of a million minutes or more is told by three digits, its bound cut and not rounded") {
  CHECK(F_text(999'999) == "999,999 min");
  CHECK(F_text(1'000'000) == "1.00e6 min");
  CHECK(F_text(740'347'336) == "7.40e8 min");
  CHECK(F_text(999'600'000) == "1.00e9 min");
  CHECK(F_bound_text(1'000'000) == "1.00e6 min");
  CHECK(F_bound_text(696'594'752) == "6.96e8 min");
  CHECK(F_bound_text(999'999'999) == "9.99e8 min");
}

TEST_CASE("a text that says nothing is left out of the details") {
  const SaidValues values{{"delivered_K", 9.1}, {"probe", std::string()}};
  CHECK(values_text(RunReport{}, values) == "; delivered_K 9.1 K");
}
