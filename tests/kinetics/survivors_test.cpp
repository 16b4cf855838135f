#include "kinetics/survivors.h"

#include "errors/our_fault.h"
#include "support/approx.h"

#include <doctest/doctest.h>

using namespace coldbag;
using coldbag::test::relative_error;
using coldbag::test::within;

TEST_CASE("each D is a decade") {
  CHECK(log_reduction(0, 1.5) == 0);
  CHECK(log_reduction(9, 1.5) == 6);
  CHECK(relative_error(survivors(1e6, 6), 1) < 1e-13);
  CHECK(survivors(1e6, 0) == 1e6);
  CHECK(survivors(0, 3) == 0);
}

TEST_CASE("a D of nothing is our own fault, not an infinite kill") {
  CHECK_THROWS_AS((void)log_reduction(8, 0), OurFault);
  CHECK_THROWS_AS((void)log_reduction(8, -1), OurFault);
}

TEST_CASE("small chances keep their digits") {
  CHECK(chance_of_any(0) == 0);
  CHECK(relative_error(chance_of_any(1e-12), 1e-12) < 1e-11);
  CHECK(relative_error(chance_of_any(1e-300), 1e-300) < 1e-12);
  CHECK(chance_of_any(800) == 1);
}

TEST_CASE("D falls tenfold a z, and z comes back from two D") {
  CHECK(D_at_minutes(1.5, 121.1, 10, 121.1) == 1.5);
  CHECK(relative_error(D_at_minutes(1.5, 121.1, 10, 131.1), 0.15) < 1e-13);
  CHECK(relative_error(D_at_minutes(1.5, 121.1, 10, 111.1), 15) < 1e-13);
  for (const double z_K : {4.0, 7.5, 10.0, 20.0})
    CHECK(relative_error(
              z_of_two_D_K(95, D_at_minutes(2, 121.1, z_K, 95), 118, D_at_minutes(2, 121.1, z_K, 118)), z_K) <
          1e-12);
}

TEST_CASE("two equal D, or none at all, give no z") {
  CHECK_THROWS_AS((void)z_of_two_D_K(110, 2, 120, 2), OurFault);
  CHECK_THROWS_AS((void)z_of_two_D_K(110, 0, 120, 2), OurFault);
  CHECK_THROWS_AS((void)z_of_two_D_K(110, 2, 120, -2), OurFault);
}
