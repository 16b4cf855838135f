// Charts of single values and their moving ranges, and moving means, against published examples.
#include "records/trend.h"
#include "support/approx.h"

#include <doctest/doctest.h>

#include <array>

using namespace coldbag;
using coldbag::test::within;

namespace {

const TrendFigures& built_in_figures() {
  static const TrendFigures figures = read_trend_figures(TableFiles::built_in());
  return figures;
}

} // namespace

TEST_CASE("flow rates of a handbook: mean, moving range, limits") {
  // NIST/SEMATECH e-Handbook of Statistical Methods 6.3.2.2, data and answers seen; limits by 3/1.128.
  constexpr std::array rates{49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1};
  const IndividualLimits limits = individual_limits(rates, built_in_figures());
  CHECK(within(limits.centre, 50.81, 0.5e-9));
  CHECK(within(limits.moving_range, 1.8778, 0.5e-4));
  CHECK(within(limits.upper, 55.8041, 0.5e-4));
  CHECK(within(limits.lower, 45.8159, 0.5e-4));
}

TEST_CASE("a textbook exercise: limits of the moving range") {
  // Montgomery and Runger, Applied Statistics and Probability for Engineers, solution of exercise 15-4-17
  // (seen): mean 53.05, mean range 56/19, limits 60.888 and 45.212, of the range 9.628, sigma 2.613. Its data
  // are not printed with it: any twenty values of that mean and that mean range have those limits.
  std::vector<double> values(20, 53.05);
  for (std::size_t i = 0; i < values.size(); ++i)
    values[i] += (i % 2 == 0 ? 0.5 : -0.5) * 56 / 19;
  const IndividualLimits limits = individual_limits(values, built_in_figures());
  CHECK(within(limits.centre, 53.05, 1e-9));
  CHECK(within(limits.moving_range, 2.947, 0.5e-3));
  CHECK(within(limits.sigma, 2.613, 0.5e-3));
  CHECK(within(limits.upper, 60.888, 0.001)); // the source rounds the mean range before it goes on
  CHECK(within(limits.lower, 45.212, 0.001));
  CHECK(within(limits.moving_range_upper, 9.628, 0.0015));
}

TEST_CASE("viscosities of a textbook") {
  // Montgomery, Introduction to Statistical Quality Control: data seen in an open script, answers 33.52,
  // 0.48, 34.80, 32.24 and 1.57 from memory.
  constexpr std::array viscosities{33.75, 33.05, 34.00, 33.81, 33.46, 34.02, 33.68, 33.27,
                                   33.49, 33.20, 33.62, 33.00, 33.54, 33.12, 33.84};
  const IndividualLimits limits = individual_limits(viscosities, built_in_figures());
  CHECK(within(limits.centre, 33.52, 0.005));
  CHECK(within(limits.moving_range, 0.48, 0.005));
  CHECK(within(limits.upper, 34.80, 0.005));
  CHECK(within(limits.lower, 32.24, 0.005));
  CHECK(within(limits.moving_range_upper, 1.57, 0.005));
}

TEST_CASE("a moving mean with weight 0.3 about a known target") {
  // NIST/SEMATECH e-Handbook 6.3.2.4: target 50, s 2.0539, limits 52.5884 and 47.4115 seen; data and means
  // from memory.
  constexpr std::array values{52.0, 47.0, 53.0, 49.3, 50.1, 47.0, 51.0, 50.1, 51.2, 50.5,
                              49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1};
  constexpr std::array printed{50.60, 49.52, 50.56, 50.18, 50.16, 49.21, 49.75, 49.85, 50.26, 50.33,
                               50.11, 49.36, 49.52, 50.05, 49.38, 49.92, 50.73, 51.23, 51.94, 51.99};
  const std::vector<double> means = ewma(values, 50, 0.3);
  REQUIRE(means.size() == printed.size());
  for (std::size_t i = 0; i < printed.size(); ++i)
    CHECK(within(means[i], printed[i], 0.005 + 1e-9));
  const EwmaRule known{0.3, 3, 0};
  CHECK(within(50 + ewma_half_width(known, 2.0539, 1000), 52.5884, 0.5e-4));
  CHECK(within(50 - ewma_half_width(known, 2.0539, 1000), 47.4115, 1e-4)); // it prints 47.4115 for 47.41156
  // Limits that widen: worked out from the same equation beside the handbook's, not printed there.
  constexpr std::array upper{51.8485, 52.2564, 52.4314, 52.5127, 52.5516};
  for (std::size_t i = 0; i < upper.size(); ++i)
    CHECK(within(50 + ewma_half_width(known, 2.0539, static_cast<int>(i) + 1), upper[i], 0.5e-4));
}
