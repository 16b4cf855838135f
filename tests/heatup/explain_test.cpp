// What would explain a bag that warmed sooner or later than its kind: bags heated by the model with another
// mass, moisture or place of the probe are found again. No outside figures.
#include "heatup/explain.h"
#include "support/approx.h"
#include "support/made_bag.h"

#include <doctest/doctest.h>

using namespace coldbag;
using namespace coldbag::test;

namespace {

constexpr double level_degC = 119;

SteamTrace steam() {
  return steady_steam(121.1, 12);
}

SeenArrival arrival_of(const Bag& bag, double off_m = 0) {
  const BagHistory history =
      heat_bag(describe_bag(bag, {}, {}, heating_tables()).body, {}, steam(), heating_tables().vapour,
               {.from_s = 0, .to_s = steam().to_s(), .start_degC = 20, .probe_off_m = off_m, .fineness = {}});
  for (const BagMoment& moment : history.moments)
    if (moment.probe_degC >= level_degC) return {moment.probe_degC, moment.time_s, 20};
  return {};
}

LagExplanation explained(const SeenArrival& seen) {
  const Bag bag = tried_bag();
  return what_would_explain(bag, describe_bag(bag, {}, {}, heating_tables()), {}, seen, steam(),
                            heating_tables());
}

} // namespace

TEST_CASE("a bag packed tighter than described is found, with the mass that explains it") {
  Bag packed = tried_bag();
  packed.mass_kg = stated(2.9);
  const LagExplanation why = explained(arrival_of(packed));
  REQUIRE(why.mass_kg);
  CHECK(within(*why.mass_kg, 2.9, 0.02));
  CHECK_FALSE(why.probe_off_m); // a probe nearer the film tells of a sooner bag alone
}

TEST_CASE("a probe nearer the film than the middle is found, and a lighter bag would explain it too") {
  const LagExplanation why = explained(arrival_of(tried_bag(), 0.045));
  REQUIRE(why.probe_off_m);
  CHECK(within(*why.probe_off_m, 0.045, 0.001));
  REQUIRE(why.mass_kg);
  CHECK(*why.mass_kg < 2.3);
}

TEST_CASE("another moisture than described is found, the nearest that explains it") {
  Bag wet = tried_bag();
  wet.moisture_wb = stated(0.70);
  const LagExplanation why = explained(arrival_of(wet));
  REQUIRE(why.moisture_wb);
  CHECK(within(*why.moisture_wb, 0.70, 0.005));
}

TEST_CASE("what no mass, moisture or place explains is left unexplained") {
  SeenArrival at_once{level_degC, 60, 20};
  const LagExplanation why = explained(at_once);
  CHECK_FALSE(why.mass_kg);
  CHECK_FALSE(why.moisture_wb);
  SeenArrival never{level_degC, 11.9 * 3600, 20};
  CHECK_FALSE(explained(never).probe_off_m);
}
