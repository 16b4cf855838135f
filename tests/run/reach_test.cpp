#include "run/reach.h"

#include "errors/our_fault.h"
#include "support/approx.h"

#include <doctest/doctest.h>

#include <array>

using coldbag::test::within;

TEST_CASE("the lowest of a few random bags says little about the rest") {
  // Derived: (1 - confidence)^(1/n), printed to the digits shown.
  struct Row {
    int n;
    double confidence, percent, tolerance;
  };
  const Row rows[] = {
      {3, 0.95, 37, 0.5},  {5, 0.95, 55, 0.5},  {8, 0.95, 69, 0.5},     {10, 0.95, 74, 0.5},
      {12, 0.95, 78, 0.5}, {20, 0.95, 86, 0.5}, {30, 0.95, 90.5, 0.05}, {59, 0.95, 95.05, 0.005},
      {3, 0.90, 46, 0.5},  {5, 0.90, 63, 0.5},  {10, 0.90, 79, 0.5},    {22, 0.90, 90, 0.5},
  };
  for (const Row& row : rows) {
    CAPTURE(row.n);
    CAPTURE(row.confidence);
    CHECK(within(100 * coldbag::fraction_above_lowest(row.n, row.confidence), row.percent, row.tolerance));
  }
}

TEST_CASE("the smallest sample that speaks for a share of the bags") {
  // Derived by binomial sums: smallest n whose lowest bag bounds the share at the confidence; exact.
  struct Row {
    double share, confidence;
    int smallest_n;
  };
  const Row rows[] = {
      {0.90, 0.90, 22}, {0.90, 0.95, 29},  {0.95, 0.90, 45},  {0.95, 0.95, 59},
      {0.95, 0.99, 90}, {0.99, 0.95, 299}, {0.99, 0.99, 459},
  };
  for (const Row& row : rows) {
    CAPTURE(row.smallest_n);
    CHECK(coldbag::fraction_above_lowest(row.smallest_n, row.confidence) >= row.share);
    CHECK(coldbag::fraction_above_lowest(row.smallest_n - 1, row.confidence) < row.share);
  }
}

TEST_CASE("the most failing bags that random probes may all have missed") {
  // Derived from the hypergeometric distribution at 95 %; -1 where more bags would be probed than there are.
  constexpr std::array<int, 8> probed{3, 5, 8, 10, 12, 20, 30, 59};
  struct Row {
    int bag_count;
    std::array<int, 8> failing;
  };
  const Row rows[] = {
      {20, {11, 8, 5, 3, 2, 0, -1, -1}},
      {50, {30, 21, 14, 11, 9, 5, 3, -1}},
      {100, {62, 44, 30, 24, 20, 12, 8, 3}},
      {200, {125, 89, 61, 50, 42, 26, 17, 8}},
      {500, {315, 224, 155, 128, 109, 68, 46, 23}},
      {1000, {630, 449, 311, 257, 219, 137, 93, 48}},
  };
  for (const Row& row : rows) {
    for (std::size_t i = 0; i < probed.size(); ++i) {
      if (row.failing[i] < 0) continue;
      CAPTURE(row.bag_count);
      CAPTURE(probed[i]);
      CHECK(coldbag::most_failing_compatible(row.bag_count, probed[i], 0.95) == row.failing[i]);
    }
  }
}

TEST_CASE("a chance of just the excluded size does not count as compatible") {
  // One bag of ten probed: nine failing leave a chance of exactly 0.1, eight leave 0.2.
  CHECK(coldbag::most_failing_compatible(10, 1, 0.90) == 8);
  CHECK(coldbag::most_failing_compatible(20, 1, 0.95) == 18);
  CHECK(coldbag::most_failing_compatible(10, 1, 0.89) == 8);
  CHECK(coldbag::most_failing_compatible(10, 1, 0.91) == 9);
}

TEST_CASE("the ends of sampling: no bag probed, and every bag probed") {
  CHECK(coldbag::most_failing_compatible(7, 0, 0.95) == 7);
  CHECK(coldbag::most_failing_compatible(7, 7, 0.95) == 0);
  CHECK(coldbag::most_failing_compatible(1, 1, 0.95) == 0);
}

TEST_CASE("more probes never leave more failing bags possible") {
  for (int probed = 0; probed < 40; ++probed) {
    CHECK(coldbag::most_failing_compatible(40, probed + 1, 0.95) <=
          coldbag::most_failing_compatible(40, probed, 0.95));
  }
}

TEST_CASE("sampling figures that make no sense are our fault") {
  CHECK_THROWS_AS((void)coldbag::fraction_above_lowest(0, 0.95), coldbag::OurFault);
  CHECK_THROWS_AS((void)coldbag::fraction_above_lowest(3, 1), coldbag::OurFault);
  CHECK_THROWS_AS((void)coldbag::most_failing_compatible(3, 4, 0.95), coldbag::OurFault);
  CHECK_THROWS_AS((void)coldbag::most_failing_compatible(0, 0, 0.95), coldbag::OurFault);
  CHECK_THROWS_AS((void)coldbag::most_failing_compatible(3, 1, 0), coldbag::OurFault);
}
