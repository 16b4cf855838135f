// Regression of counts and intervals of shares against published examples.
#include "records/logistic.h"
#include "support/approx.h"

#include <doctest/doctest.h>

#include <array>
#include <cmath>

using namespace coldbag;
using coldbag::test::within;

namespace {

template <std::size_t count>
std::vector<CountRow> rows_of(const std::array<double, count>& x, const std::array<int, count>& bad, int of) {
  std::vector<CountRow> rows;
  for (std::size_t i = 0; i < count; ++i)
    rows.push_back({bad[i], of, {x[i]}});
  return rows;
}

LogisticFit fitted(const std::vector<CountRow>& rows) {
  const LogisticResult result = fit_logistic(rows);
  REQUIRE(result.fit);
  return *result.fit;
}

} // namespace

TEST_CASE("launch temperatures and damaged rings, single launches, of a textbook") {
  // Montgomery and Runger, Applied Statistics and Probability for Engineers, supplement S11-9; rows and
  // answers seen.
  constexpr std::array<double, 24> at{53, 56, 57, 63, 66, 67, 67, 67, 68, 69, 70, 70,
                                      70, 70, 72, 73, 75, 75, 76, 76, 78, 79, 80, 81};
  constexpr std::array<int, 24> damaged{1, 1, 1, 0, 0, 0, 0, 0, 0, 0, 1, 1,
                                        1, 0, 0, 0, 1, 0, 0, 0, 0, 0, 0, 0};
  const LogisticFit fit = fitted(rows_of(at, damaged, 1));
  CHECK(within(fit.slopes[0], 10.875, 0.5e-3));
  CHECK(within(fit.errors[0], 5.703, 0.5e-3));
  CHECK(within(fit.slopes[1], -0.17132, 0.5e-5));
  CHECK(within(fit.errors[1], 0.08344, 0.5e-5));
  CHECK(within(fit.log_likelihood, -11.515, 0.5e-3));
  CHECK(within(fit.null_deviance - fit.deviance, 5.944, 0.5e-3));
  const double odds = std::exp(fit.slopes[1]);
  CHECK(within(odds, 0.84, 0.005));
  CHECK(within(std::exp(fit.slopes[1] - 1.96 * fit.errors[1]), 0.72, 0.005));
  CHECK(within(std::exp(fit.slopes[1] + 1.96 * fit.errors[1]), 0.99, 0.005));
}

TEST_CASE("launch temperatures and damaged rings in order of flight") {
  // An open teaching page with the output of R, rows and answers seen.
  constexpr std::array<double, 24> at{66, 70, 69, 80, 68, 67, 72, 73, 70, 57, 63, 70,
                                      78, 67, 53, 67, 75, 70, 81, 76, 79, 75, 76, 58};
  constexpr std::array<int, 24> damaged{0, 1, 0, 0, 0, 0, 0, 0, 0, 1, 1, 1,
                                        0, 0, 1, 0, 0, 0, 0, 0, 0, 1, 0, 1};
  const LogisticFit fit = fitted(rows_of(at, damaged, 1));
  CHECK(within(fit.slopes[0], 15.2968, 0.5e-4));
  CHECK(within(fit.errors[0], 7.3286, 0.6e-4));
  CHECK(within(fit.slopes[1], -0.2360, 0.5e-4));
  CHECK(within(fit.errors[1], 0.1074, 0.5e-4));
  CHECK(within(fit.null_deviance, 28.975, 0.5e-3));
  CHECK(within(fit.deviance, 20.371, 0.5e-3));
}

TEST_CASE("six rings a launch: counts of a group") {
  // Data seen in two open teaching pages; answer of an open textbook from memory: 11.6630 (3.2963), -0.2162
  // (0.0532), deviance 38.898 to 16.912.
  constexpr std::array<double, 23> at{53, 57, 58, 63, 66, 67, 67, 67, 68, 69, 70, 70,
                                      70, 70, 72, 73, 75, 75, 76, 76, 78, 79, 81};
  constexpr std::array<int, 23> damaged{5, 1, 1, 1, 0, 0, 0, 0, 0, 0, 1, 0, 1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 0};
  const LogisticFit fit = fitted(rows_of(at, damaged, 6));
  CHECK(within(fit.slopes[0], 11.6630, 0.5e-4));
  CHECK(within(fit.errors[0], 3.2963, 0.5e-4));
  CHECK(within(fit.slopes[1], -0.2162, 0.5e-4));
  CHECK(within(fit.errors[1], 0.0532, 0.5e-4));
  CHECK(within(fit.null_deviance, 38.898, 0.5e-3));
  CHECK(within(fit.deviance, 16.912, 0.5e-3));
}

TEST_CASE("exact intervals of shares") {
  // Clopper-Pearson. The first four cases are those of Newcombe 1998, Stat. Med. 17:857-872 (intervals from
  // memory); all were worked out beside it from beta quantiles.
  struct Case {
    int bad, bags;
    double lower, upper, one_sided;
  };
  for (const Case& each : {Case{81, 263, 0.2527, 0.3676, 0.3582}, Case{15, 148, 0.0578, 0.1617, 0.1518},
                           Case{0, 20, 0, 0.1684, 0.1391}, Case{1, 29, 0.0009, 0.1776, 0.1534},
                           Case{0, 10, 0, 0.3085, 0.2589}, Case{2, 40, 0.0061, 0.1692, 0.1492},
                           Case{0, 59, 0, 0.0606, 0.0495}, Case{3, 100, 0.0062, 0.0852, 0.0757}}) {
    const Interval interval = exact_interval(each.bad, each.bags);
    CAPTURE(each.bad);
    CHECK(within(interval.lower, each.lower, 0.5e-4));
    CHECK(within(interval.upper, each.upper, 0.5e-4));
    CHECK(within(exact_upper(each.bad, each.bags), each.one_sided, 0.5e-4));
  }
}

TEST_CASE("none of many: the exact bound beside the rule of three") {
  // 1 - 0.05^(1/n); "300 parachutes: under 1 in 100", "1500 patients: under 1 in 500" (both seen).
  for (const int bags : {10, 20, 30, 59, 100, 300, 1500})
    CHECK(within(exact_upper(0, bags), 1 - std::pow(0.05, 1.0 / bags), 1e-12));
  CHECK(exact_upper(0, 300) < 0.01);
  CHECK(exact_upper(0, 1500) < 0.002);
  CHECK(exact_interval(20, 20).upper == 1);
}
