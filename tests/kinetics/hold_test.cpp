#include "kinetics/hold.h"

#include "support/approx.h"

#include <doctest/doctest.h>

using namespace coldbag;
using coldbag::test::within;

TEST_CASE("crossings of the setpoint are interpolated on both sides") {
  HoldMeter hold(100);
  hold.take(0, 90, Join::linear);
  hold.take(60, 110, Join::linear); // crosses at 30
  hold.take(120, 110, Join::linear);
  hold.take(180, 95, Join::linear); // crosses at 160
  CHECK(within(hold.longest().from_s, 30, 1e-12));
  CHECK(within(hold.longest().to_s, 160, 1e-12));
  CHECK(within(hold.total_s(), 130, 1e-12));
  CHECK(within(hold.hot_at_s().value(), 30, 1e-12));
  CHECK_FALSE(hold.open());
}

TEST_CASE("a reading exactly at the setpoint counts as hot") {
  HoldMeter hold(121.1);
  hold.take(0, 121.1, Join::linear);
  hold.take(60, 121.1, Join::linear);
  CHECK(hold.longest() == Stretch{0, 60});
  CHECK(hold.open() == Stretch{0, 60});
  HoldMeter touch(100);
  touch.take(0, 90, Join::linear);
  touch.take(60, 100, Join::linear);
  touch.take(120, 90, Join::linear);
  CHECK(touch.total_s() == 0);
  CHECK(touch.hot_at_s() == 60);
}

TEST_CASE("a trace that stays below has no hold") {
  HoldMeter hold(100);
  CHECK(hold.longest().length_s() == 0);
  hold.take(0, 99.999, Join::linear);
  hold.take(3600, 99.999, Join::linear);
  CHECK(hold.longest().length_s() == 0);
  CHECK(hold.total_s() == 0);
  CHECK_FALSE(hold.hot_at_s());
}

TEST_CASE("a dip breaks the longest stretch, not the total") {
  HoldMeter hold(100);
  hold.take(0, 101, Join::linear);
  hold.take(100, 101, Join::linear);
  hold.take(110, 99, Join::linear);  // leaves at 105
  hold.take(120, 101, Join::linear); // back at 115
  hold.take(400, 101, Join::linear);
  CHECK(within(hold.longest().from_s, 115, 1e-12));
  CHECK(hold.longest().to_s == 400);
  CHECK(within(hold.total_s(), 105 + 285, 1e-12));
}

TEST_CASE("the earlier of two equal stretches is the longest") {
  HoldMeter hold(100);
  for (const double start_s : {0.0, 1000.0}) {
    hold.take(start_s, 101, Join::broken);
    hold.take(start_s + 60, 101, Join::linear);
  }
  CHECK(hold.longest() == Stretch{0, 60});
}

TEST_CASE("a gap between two hot readings keeps the hold") {
  HoldMeter hold(100);
  hold.take(0, 105, Join::linear);
  hold.take(300, 102, Join::gap);
  hold.take(360, 102, Join::linear);
  CHECK(hold.longest() == Stretch{0, 360});
}

TEST_CASE("a gap has no crossing inside: it counts at its lower end") {
  HoldMeter rising(100);
  rising.take(0, 90, Join::linear);
  rising.take(300, 110, Join::gap);
  rising.take(360, 110, Join::linear);
  CHECK(rising.longest() == Stretch{300, 360});
  CHECK(rising.hot_at_s() == 300);
  HoldMeter falling(100);
  falling.take(0, 110, Join::linear);
  falling.take(60, 110, Join::linear);
  falling.take(360, 90, Join::gap);
  CHECK(falling.longest() == Stretch{0, 60});
  CHECK(falling.total_s() == 60);
}

TEST_CASE("a gap longer than the limit breaks the hold") {
  HoldMeter hold(100);
  hold.take(0, 105, Join::linear);
  hold.take(600, 105, Join::linear);
  hold.take(4200, 105, Join::broken);
  hold.take(4500, 105, Join::linear);
  CHECK(hold.longest() == Stretch{0, 600});
  CHECK(hold.total_s() == 900);
  CHECK(hold.open() == Stretch{4200, 4500});
  HoldMeter same_as_gap(100);
  same_as_gap.take(0, 105, Join::linear);
  same_as_gap.take(600, 105, Join::linear);
  same_as_gap.take(4200, 105, Join::gap);
  same_as_gap.take(4500, 105, Join::linear);
  CHECK(same_as_gap.longest() == Stretch{0, 4500});
}

TEST_CASE("stopping ends the open stretch and starts afresh") {
  HoldMeter hold(100);
  hold.take(0, 105, Join::linear);
  hold.take(600, 105, Join::linear);
  hold.stop();
  CHECK_FALSE(hold.open());
  hold.take(700, 105, Join::linear); // the join of a first reading is ignored
  hold.take(800, 105, Join::linear);
  CHECK(hold.longest() == Stretch{0, 600});
  CHECK(hold.total_s() == 700);
  HoldMeter unused(100);
  unused.stop();
  CHECK(unused.total_s() == 0);
}

TEST_CASE("a short fault earns nothing but does not break a hold that is hot on both sides") {
  HoldMeter hold(88);
  hold.take(0, 90, Join::broken);
  hold.take(600, 90, Join::linear);
  hold.take(720, 90, Join::withheld);
  hold.take(1200, 90, Join::linear);
  CHECK(hold.longest().length_s() == 1080);
  CHECK(hold.total_s() == 1080);
  hold.take(1320, 80, Join::withheld);
  CHECK(hold.longest().to_s == 1200);
}
