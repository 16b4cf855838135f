// How many bags picked at random are needed, against the classic sample sizes.
#include "run/reach.h"

#include <doctest/doctest.h>

TEST_CASE("the sample sizes of a lower bound free of any distribution") {
  // S. S. Wilks, Ann. Math. Stat. 12:91 (1941): the smallest of n bounds a share p from below with confidence
  // 1 - p^n. 29 (90/95) and 299 (99/95) read in a worked example; 59 (95/95) is the classic figure, from
  // memory. Sizes are exact: one bag fewer must not be enough.
  struct Row {
    double share, confidence;
    int smallest_n, tolerance;
  };
  const Row rows[] = {
      {0.90, 0.95, 29, 0},
      {0.95, 0.95, 59, 0},
      {0.99, 0.95, 299, 0},
  };
  for (const Row& row : rows) {
    CAPTURE(row.smallest_n);
    CHECK(coldbag::fraction_above_lowest(row.smallest_n + row.tolerance, row.confidence) >= row.share);
    CHECK(coldbag::fraction_above_lowest(row.smallest_n - row.tolerance - 1, row.confidence) < row.share);
  }
}
