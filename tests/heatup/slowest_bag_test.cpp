#include "errors/our_fault.h"
#include "heatup/slowest_bag.h"
#include "support/approx.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <numeric>
#include <random>

using namespace coldbag;
using coldbag::test::within;

TEST_CASE("the factor is the quantile of drawn loads") {
  // Loads drawn one by one: five probes, 195 bags without, spread known from ten more. 4.50 by a draw of its
  // own apart from this program.
  CHECK(within(slowest_factor(5, 195, 14), 4.50, 0.02));
  for (const auto& [probes, unprobed, prior] :
       {std::tuple{3, 40, 10}, {8, 500, 10}, {1, 20, 10}, {5, 1, 4}}) {
    std::mt19937_64 random(7);
    std::normal_distribution<double> normal;
    std::vector<double> drawn;
    const double nu = probes - 1 + prior;
    for (int load = 0; load < 40000; ++load) {
      double least = 1e9;
      for (int bag = 0; bag < unprobed; ++bag)
        least = std::min(least, normal(random));
      double squares = 0;
      for (int i = 0; i < static_cast<int>(nu); ++i) {
        const double z = normal(random);
        squares += z * z;
      }
      drawn.push_back((normal(random) / std::sqrt(probes) - least) / std::sqrt(squares / nu));
    }
    const auto at = drawn.begin() + static_cast<std::ptrdiff_t>(drawn.size() * 95 / 100);
    std::nth_element(drawn.begin(), at, drawn.end());
    CAPTURE(probes);
    CHECK(within(slowest_factor(probes, unprobed, nu), *at, 0, 0.015));
  }
}

TEST_CASE("with one bag left and nothing to learn the factor is Student's for one more") {
  // (Z / sqrt n - Z') / s follows t with nu, times sqrt(1 + 1/n): t 0.95, 14 degrees 1.7613 (handbook
  // tables).
  CHECK(within(slowest_factor(5, 1, 14), 1.7613 * std::sqrt(1.2), 0.001));
}

TEST_CASE("more bags without a probe may hide a slower one, more probes tell more") {
  CHECK(slowest_factor(5, 500, 14) > slowest_factor(5, 50, 14));
  CHECK(slowest_factor(8, 200, 17) < slowest_factor(3, 200, 12));
  CHECK_THROWS_AS(static_cast<void>(slowest_factor(0, 10, 10)), OurFault);
}

TEST_CASE("one probed bag keeps the spread that was known before") {
  const SpeedSpread spread = pooled_spread({{0.3}}, 0.12, 10);
  CHECK(within(spread.sd, 0.12, 1e-12));
  CHECK(spread.freedom == 10);
}

TEST_CASE("kinds are pooled after each kind's mean is taken off") {
  const SpeedSpread apart = pooled_spread({{0.0, 0.1, 0.2}, {1.0, 1.1, 1.2}}, 0.12, 10);
  CHECK(apart.freedom == 14);
  CHECK(within(apart.sd, std::sqrt((0.04 + 10 * 0.0144) / 14), 1e-12));
}

TEST_CASE("bags probed at cold spots count from the slowest of them") {
  const std::vector<double> speeds{-0.1, 0.0, 0.1};
  const SpeedSpread spread = pooled_spread({speeds}, 0.12, 10);
  const double at_random = slowest_speed_ln(speeds, 100, spread, Placed::at_random, 0.12, 10);
  const double at_cold = slowest_speed_ln(speeds, 100, spread, Placed::at_cold_spots, 0.12, 10);
  CHECK(within(at_random, -slowest_factor(3, 100, 12) * spread.sd, 1e-9));
  CHECK(within(at_cold, -0.1 - slowest_factor(3, 100, 10) * 0.12, 1e-9));
}
