#include "sizing/slowest_of_many.h"
#include "support/approx.h"

#include <doctest/doctest.h>

using namespace coldbag;
using namespace coldbag::test;

TEST_SUITE("the lowest of many draws") {
  // Expected extremes of normal samples (Tippett 1925; Teichroew 1956), from memory.
  TEST_CASE("lies as deep as the tables of normal order statistics say") {
    CHECK(within(lowest_of(1).mean_depth, 0, 1e-9));
    CHECK(within(lowest_of(1).sd, 1, 1e-9));
    CHECK(within(lowest_of(2).mean_depth, 0.56419, 1e-5));
    CHECK(within(lowest_of(2).sd, 0.82565, 1e-5));
    CHECK(within(lowest_of(5).mean_depth, 1.16296, 1e-5));
    CHECK(within(lowest_of(10).mean_depth, 1.53875, 1e-5));
    CHECK(within(lowest_of(100).mean_depth, 2.50759, 1e-5));
    CHECK(within(lowest_of(1000).mean_depth, 3.24144, 1e-5));
  }
}
