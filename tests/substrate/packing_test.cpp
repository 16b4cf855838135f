#include "errors/our_fault.h"
#include "substrate/conductivity.h"
#include "substrate/packing.h"
#include "substrate/vapour.h"
#include "support/approx.h"

#include <doctest/doctest.h>

using namespace coldbag;
using coldbag::test::within;

namespace {
const Material& sawdust() {
  static const std::vector<Material> materials = read_materials(TableFiles::built_in());
  return *material_of(materials, "sawdust").material;
}
constexpr PoreRules rules{0.66, 1, 0.3, 0.45, 0.8, 0.2};
} // namespace

TEST_CASE("solid, water and air fill a bag") {
  const Packing packing = pack(sawdust(), 2.3, 0.0039, 0.62);
  CHECK(within(packing.solid_share + packing.water_share + packing.air_share, 1, 1e-12));
  CHECK(within(packing.dry_kg_per_m3, 224.1, 0.05));
  CHECK(within(packing.filling(), 0.43, 0.005));
}

TEST_CASE("the heaviest that fits leaves no air") {
  const double most = most_mass_kg(sawdust(), 0.0039, 0.62);
  CHECK(within(pack(sawdust(), most, 0.0039, 0.62).air_share, 0, 1e-12));
}

TEST_CASE("a bag without mass, or all water, is a caller's fault") {
  CHECK_THROWS_AS(static_cast<void>(pack(sawdust(), 0, 1, 0.5)), OurFault);
  CHECK_THROWS_AS(static_cast<void>(pack(sawdust(), 1, 1, 1)), OurFault);
}

TEST_CASE("the share of the vapour term falls smoothly with filling, and in a sealed bag") {
  double before = 1;
  for (double mass = 1.0; mass < 4.0; mass += 0.02) {
    const Packing packing = pack(sawdust(), mass, 0.0039, 0.62);
    const double share = vapour_share(packing, Closure::breathing, rules);
    CHECK(share <= before);
    if (before < 1) CHECK(before - share < 0.02);
    before = share;
    CHECK(within(vapour_share(packing, Closure::sealed, rules), 0.3 * share, 1e-12));
  }
  CHECK(within(vapour_share(pack(sawdust(), 2.3, 0.0039, 0.62), Closure::open, rules), 0.3196, 0.0005));
}

TEST_CASE("dry substrate carries less vapour than moist") {
  const double moist = vapour_share(pack(sawdust(), 1.2, 0.0039, 0.25), Closure::breathing, rules);
  const double dry = vapour_share(pack(sawdust(), 1.2, 0.0039, 0.10), Closure::breathing, rules);
  CHECK(dry < 0.8 * moist);
}
