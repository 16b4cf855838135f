#include "kinetics/lethality.h"

#include "errors/our_fault.h"
#include "support/approx.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <random>
#include <vector>

using namespace coldbag;
using coldbag::test::relative_error;
using coldbag::test::within;

namespace {

const Reference f0{"F0", 121.1, 10, std::nullopt, std::nullopt};

std::vector<double> random_segments(std::size_t count) {
  std::mt19937_64 random(80); // fixed: the same segments at every run
  std::uniform_real_distribution<double> temperature(20, 135);
  std::vector<double> segments;
  for (std::size_t i = 0; i < count; ++i)
    segments.push_back(segment_F_minutes(60, temperature(random), temperature(random), f0));
  return segments;
}

LethalSum sum_of(const std::vector<double>& segments) {
  LethalSum sum;
  for (const double F_minutes : segments)
    sum.add_minutes(F_minutes);
  return sum;
}

} // namespace

TEST_CASE("the order of the segments changes no digit of the sum") {
  std::vector<double> segments = random_segments(5000);
  const LethalSum given = sum_of(segments);
  std::mt19937_64 random(1);
  for (int round = 0; round < 20; ++round) {
    std::shuffle(segments.begin(), segments.end(), random);
    REQUIRE(sum_of(segments) == given);
    REQUIRE(sum_of(segments).minutes() == given.minutes());
  }
  // A sum of doubles in one order and in the other does differ: the case above can fail.
  std::sort(segments.begin(), segments.end());
  double up = 0;
  for (const double F_minutes : segments)
    up += F_minutes;
  double down = 0;
  for (auto at = segments.rbegin(); at != segments.rend(); ++at)
    down += *at;
  CHECK(up != down);
  CHECK(relative_error(up, given.minutes()) < 1e-12);
}

TEST_CASE("blocks of segments add up to the same digits however they are cut") {
  const std::vector<double> segments = random_segments(997);
  const LethalSum given = sum_of(segments);
  for (const std::size_t block : {std::size_t{1}, std::size_t{7}, std::size_t{64}, std::size_t{500}}) {
    LethalSum total;
    for (std::size_t from = 0; from < segments.size(); from += block) {
      LethalSum part;
      for (std::size_t i = from; i < std::min(from + block, segments.size()); ++i)
        part.add_minutes(segments[i]);
      total.add(part);
    }
    CAPTURE(block);
    CHECK(total == given);
  }
}

TEST_CASE("a sum keeps crumbs beside large amounts") {
  LethalSum sum;
  sum.add_minutes(1e6);
  for (int i = 0; i < 1000; ++i)
    sum.add_minutes(0x1p-70);
  LethalSum crumbs;
  for (int i = 0; i < 1000; ++i)
    crumbs.add_minutes(0x1p-70);
  CHECK(crumbs.minutes() == 1000 * 0x1p-70);
  LethalSum both;
  both.add_minutes(1e6);
  both.add(crumbs);
  CHECK(both == sum);
  CHECK(LethalSum{}.minutes() == 0);
}

TEST_CASE("what is no amount of lethality does not get into the sum") {
  LethalSum sum;
  CHECK_THROWS_AS(sum.add_minutes(-1e-30), OurFault);
  CHECK_THROWS_AS(sum.add_minutes(std::numeric_limits<double>::quiet_NaN()), OurFault);
  CHECK(sum.minutes() == 0);
}

TEST_CASE("a segment counts for no more than the most, and a full sum still adds up") {
  LethalSum endless;
  endless.add_minutes(std::numeric_limits<double>::infinity());
  LethalSum most;
  most.add_minutes(most_minutes_in_segment);
  CHECK(endless == most);
  CHECK(most.minutes() == most_minutes_in_segment);
  LethalSum many;
  for (int i = 0; i < 1000; ++i)
    many.add_minutes(most_minutes_in_segment);
  CHECK(many.minutes() == 1000 * most_minutes_in_segment);
}

TEST_CASE("every size of segment is taken to the nearest crumb of 2^-80 minutes") {
  for (int power = -78; power <= 25; ++power) {
    const double F_minutes = 1.3 * std::exp2(power);
    LethalSum sum;
    sum.add_minutes(F_minutes);
    CAPTURE(power);
    CHECK(within(sum.minutes(), F_minutes, 0x1p-81));
    if (power >= -28) CHECK(sum.minutes() == F_minutes); // all of its 52 binary digits lie above the crumb
  }
}

TEST_CASE("no time earns nothing, and more time or heat never earns less") {
  CHECK(segment_F_minutes(0, 100, 130, f0) == 0);
  double last = 0;
  for (double t_degC = 60; t_degC <= 140; t_degC += 0.01) {
    const double rate = lethal_rate(t_degC, f0);
    REQUIRE(rate > last);
    last = rate;
  }
  last = 0;
  for (double t2_degC = 60; t2_degC <= 140; t2_degC += 0.01) {
    const double F_minutes = segment_F_minutes(60, 100, t2_degC, f0);
    REQUIRE(F_minutes > last);
    last = F_minutes;
  }
}

TEST_CASE("the rate at the reference is one to the last bit, and ten a z above") {
  CHECK(lethal_rate(121.1, f0) == 1);
  CHECK(relative_error(lethal_rate(131.1, f0), 10) < 1e-14);
  CHECK(relative_error(lethal_rate(111.1, f0), 0.1) < 1e-14);
}

TEST_CASE("cutting a straight run in two earns as much as the whole") {
  std::mt19937_64 random(2);
  std::uniform_real_distribution<double> temperature(60, 140);
  std::uniform_real_distribution<double> share(0.01, 0.99);
  for (int i = 0; i < 5000; ++i) {
    const double t1 = temperature(random);
    const double t2 = temperature(random);
    const double at = share(random);
    const double t_cut = t1 + (t2 - t1) * at;
    const double whole = segment_F_minutes(300, t1, t2, f0);
    const double parts =
        segment_F_minutes(300 * at, t1, t_cut, f0) + segment_F_minutes(300 * (1 - at), t_cut, t2, f0);
    CAPTURE(t1);
    CAPTURE(t2);
    REQUIRE(relative_error(parts, whole) < 1e-12);
  }
}

TEST_CASE("absurd temperatures give finite figures") {
  CHECK(lethal_rate(-273.15, f0) > 0);
  CHECK(lethal_rate(-1e6, f0) < 1e-300);
  CHECK(std::isfinite(lethal_rate(1e6, f0)));
}
