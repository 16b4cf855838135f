#include "errors/user_error.h"
#include "heatup/bag_body.h"
#include "support/approx.h"
#include "support/made_bag.h"

#include <doctest/doctest.h>

#include <algorithm>

using namespace coldbag;
using namespace coldbag::test;

namespace {

std::string fault_of(const Bag& bag, std::optional<double> mass_kg = {},
                     std::optional<double> moisture_wb = {}) {
  try {
    static_cast<void>(describe_bag(bag, mass_kg, moisture_wb, heating_tables()));
  } catch (const UserError& error) {
    return error.what();
  }
  return "";
}

bool is_told(const DescribedBag& bag, std::string_view key) {
  return std::ranges::any_of(bag.assumptions, [&](const Said& said) { return said.key == key; });
}

} // namespace

TEST_CASE("a bag that is described in full needs nothing assumed") {
  const DescribedBag bag = describe_bag(tried_bag(), {}, {}, heating_tables());
  CHECK(bag.assumptions.empty());
  CHECK(within(bag.body.conductivity_W_per_mK, 0.269, 0.0005));
  CHECK(within(bag.body.density_kg_per_m3, 589.7, 0.1));
}

TEST_CASE("from mass alone the rest is assumed, and each assumption told") {
  Bag bag;
  bag.mass_kg = stated(2.3);
  const DescribedBag described = describe_bag(bag, {}, {}, heating_tables());
  for (const char* key : {"lag_assumed_substrate", "lag_assumed_moisture", "lag_assumed_form",
                          "lag_assumed_sides", "lag_assumed_closure", "lag_assumed_apart"})
    CHECK(is_told(described, key));
  CHECK(within(8 * described.body.half_m[0] * described.body.half_m[1] * described.body.half_m[2], 2.3 / 590,
               1e-9));
}

TEST_CASE("a column from its diameter and mass") {
  Bag bag;
  bag.mass_kg = stated(3.0);
  bag.diameter_m = stated(0.18);
  const DescribedBag described = describe_bag(bag, {}, 0.6, heating_tables());
  CHECK(described.body.form == BagForm::column);
  CHECK(within(described.body.half_m[0], 0.09, 1e-12));
  CHECK(is_told(described, "lag_assumed_height"));
}

TEST_CASE("a bag of one load line may have its own mass and moisture") {
  const DescribedBag wet = describe_bag(tried_bag(), 2.5, 0.65, heating_tables());
  CHECK(wet.body.mass_kg == 2.5);
  CHECK(wet.packing.moisture_wb == 0.65);
}

TEST_CASE("impossible bags are refused with what would be right") {
  Bag bag = tried_bag();
  CHECK(fault_of(bag, -1.0).find("is no bag") != std::string::npos);
  CHECK(fault_of(bag, 0.0).find("is no bag") != std::string::npos);
  CHECK(fault_of(bag, {}, 1.0).find("leaves nothing dry") != std::string::npos);
  CHECK(fault_of(bag, {}, 1.5).find("leaves nothing dry") != std::string::npos);
  CHECK(fault_of(bag, 6.0).find("denser than its solids and water allow; at most") != std::string::npos);
  CHECK(fault_of(bag, 0.2).find("far lighter than any \"sawdust\"") != std::string::npos);
  bag.form = stated<std::string>("loose");
  CHECK(fault_of(bag).find("steam passes through loose substrate") != std::string::npos);
  Bag slab;
  slab.mass_kg = stated(5.0);
  slab.form = stated<std::string>("slab");
  CHECK(fault_of(slab).find("a slab needs its thickness") != std::string::npos);
  CHECK(fault_of(Bag{}).find("nobody said how heavy the bag is") != std::string::npos);
}

TEST_CASE("figures stretched beyond their range are told") {
  CHECK(is_told(describe_bag(tried_bag(), {}, 0.20, heating_tables()), "lag_stretched_moisture"));
  CHECK(is_told(describe_bag(tried_bag(), 0.8, {}, heating_tables()), "lag_stretched_density"));
}

TEST_CASE("twice the mass of the same shape and density has sides longer by its cube root") {
  const BagBody body = tried_body();
  const BagBody twice = heavier(body, 4.6);
  for (std::size_t i = 0; i < 3; ++i)
    CHECK(within(twice.half_m[i], body.half_m[i] * std::cbrt(2.0), 1e-12));
}
