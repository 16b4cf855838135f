#include "kinetics/guarded_hold.h"

#include <doctest/doctest.h>

using namespace coldbag;

namespace {

struct Fed {
  GuardedHold guarded{88, true};
  GuardedHold plain{88, false};
  void take(double time_s, double degC, Join join, bool is_cut) {
    guarded.take({time_s, degC, join, is_cut});
    plain.take({time_s, degC, join, is_cut});
  }
};

} // namespace

TEST_CASE("readings whose window a gap cut short count against a hold and never for it") {
  Fed fed;
  fed.take(0, 90, Join::broken, false);
  fed.take(60, 90, Join::linear, false);
  fed.take(120, 90, Join::linear, true);
  fed.take(180, 87, Join::linear, true);
  CHECK(fed.plain.meter().longest().to_s > 120);
  CHECK(fed.guarded.meter().longest() == Stretch{0, 60});
}

TEST_CASE("a hold that is hot on both sides of a short gap goes on over the readings passed over") {
  Fed fed;
  fed.take(0, 90, Join::broken, false);
  fed.take(60, 90, Join::linear, true);
  fed.take(600, 90, Join::gap, true);
  fed.take(660, 90, Join::linear, false);
  CHECK(fed.guarded.meter().longest() == Stretch{0, 660});
}

TEST_CASE("a silence that breaks a hold still breaks it when the readings beside it are passed over") {
  Fed fed;
  fed.take(0, 90, Join::broken, false);
  fed.take(60, 90, Join::linear, true);
  fed.take(6000, 90, Join::broken, true);
  fed.take(6060, 90, Join::linear, false);
  fed.take(6120, 90, Join::linear, false);
  CHECK(fed.guarded.meter().longest() == Stretch{6060, 6120});
}
