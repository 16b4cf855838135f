// Bounded memory, exact sums. No outside figures.
#include "probes/thinned.h"

#include "support/approx.h"

#include <doctest/doctest.h>

#include <cmath>
#include <random>

using namespace coldbag;
using namespace coldbag::test;

TEST_CASE("a thinned trace never has more than 4,096 buckets, however long the log") {
  ThinTrace trace;
  for (int s = 0; s < 200000; ++s)
    trace.take(s, 20, true);
  CHECK(trace.buckets().size() <= ThinTrace::most_buckets);
  CHECK(trace.width_s() == 64);
  std::int64_t count = 0;
  for (const auto& bucket : trace.buckets())
    count += bucket.count;
  CHECK(count == 200000);
}

TEST_CASE("lowest, highest, mean and credited share of a bucket are those of its readings") {
  ThinTrace trace;
  trace.take(0.1, 20, true);
  trace.take(0.2, 26, false);
  trace.take(0.9, 21, true);
  trace.take(0.95, 25, true);
  trace.take(3.5, 90, false);
  REQUIRE(trace.buckets().size() == 4);
  const auto& first = trace.buckets()[0];
  CHECK(first.lowest == 20);
  CHECK(first.highest == 26);
  CHECK(first.mean() == 23);
  CHECK(first.credited_share() == 0.75);
  CHECK(trace.buckets()[1].count == 0);
  CHECK(trace.buckets()[3].credited_share() == 0);
  CHECK(within(*trace.mean_between(0, 4), (20 + 26 + 21 + 25 + 90) / 5.0, 1e-5));
  CHECK_FALSE(trace.mean_between(1, 3));
}

TEST_CASE("the order of readings changes no digit, and neither does when the width doubled") {
  std::mt19937 random(3);
  std::uniform_real_distribution<double> degC(-20, 130);
  std::vector<std::pair<double, double>> readings;
  for (int i = 0; i < 20000; ++i)
    readings.emplace_back(i * 1.7, degC(random));
  ThinTrace in_order;
  ThinTrace backwards;
  for (const auto& [t, value] : readings)
    in_order.take(t, value, t < 5000);
  for (auto i = readings.rbegin(); i != readings.rend(); ++i)
    backwards.take(i->first, i->second, i->first < 5000);
  CHECK(in_order == backwards);
}
