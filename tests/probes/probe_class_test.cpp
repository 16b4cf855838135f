#include "probes/probe_class.h"

#include "errors/user_error.h"
#include "support/approx.h"

#include <doctest/doctest.h>

#include <cmath>
#include <numbers>

using namespace coldbag;
using coldbag::test::within;

namespace {

ProbeClass built_in_class(std::string_view key) {
  const std::vector<ProbeClass> classes = read_probe_classes(TableFiles::built_in());
  const ProbeClass* found = find_probe_class(classes, key);
  REQUIRE(found != nullptr);
  return *found;
}

ProbeClass plain_class(double tolerance_K) {
  ProbeClass probe_class;
  probe_class.tolerance_K = tolerance_K;
  return probe_class;
}

const std::string header = "key,name,kind,tolerance_K,tolerance_per_K,distribution,lowest_degC,highest_degC,"
                           "stem_K,source,locator,basis,note\n";

std::string fault_of(const std::string& row) {
  try {
    static_cast<void>(read_probe_classes("mine.csv", header + row + "\n"));
  } catch (const UserError& error) {
    return error.what();
  }
  return "";
}

} // namespace

// IEC 60751, tolerance classes, second-hand (class C from memory): 0.35, 0.27, 0.80 and 1.60 K at 100 C.
TEST_CASE("platinum classes have their tolerances at 100 C and at 121.1 C") {
  CHECK(within(class_tolerance_K(built_in_class("pt-aa"), 100), 0.270, 1e-9));
  CHECK(within(class_tolerance_K(built_in_class("pt-a"), 100), 0.350, 1e-9));
  CHECK(within(class_tolerance_K(built_in_class("pt-b"), 100), 0.800, 1e-9));
  CHECK(within(class_tolerance_K(built_in_class("pt-c"), 100), 1.600, 1e-9));
  CHECK(within(class_tolerance_K(built_in_class("pt-a"), 121.1), 0.392, 5e-4));
  CHECK(within(class_u_K(built_in_class("pt-b"), 100), 0.462, 5e-4));
}

TEST_CASE("below the ice point the tolerance grows again") {
  CHECK(within(class_tolerance_K(built_in_class("pt-b"), -40), 0.5, 1e-9));
}

// IEC 60584, tolerance table, second-hand.
TEST_CASE("thermocouples have the tolerance that applies from 60 C to 121 C") {
  CHECK(within(class_u_K(built_in_class("tc-t1"), 121.1), 0.5 / std::sqrt(3.0), 1e-12));
  CHECK(within(class_u_K(built_in_class("tc-t2"), 121.1), 1.0 / std::sqrt(3.0), 1e-12));
  CHECK(within(class_u_K(built_in_class("tc-k1"), 60), 1.5 / std::sqrt(3.0), 1e-12));
  CHECK(within(class_u_K(built_in_class("tc-k2"), 60), 2.5 / std::sqrt(3.0), 1e-12));
}

TEST_CASE("a class that nobody stated has 1.44 K and is as poor as a K of class 2") {
  CHECK(within(class_u_K(built_in_class("unstated"), 96), 1.44, 5e-3));
  CHECK(class_u_K(built_in_class("unstated"), 96) == class_u_K(built_in_class("tc-k2"), 96));
  CHECK(built_in_class("unstated").basis == "assumed");
}

TEST_CASE("beyond its range the tolerance counts once more") {
  const ProbeClass thermistor = built_in_class("thermistor");
  CHECK(within(class_u_K(thermistor, 70), 0.2 / std::sqrt(3.0), 1e-12));
  CHECK(within(class_u_K(thermistor, 70.001), std::numbers::sqrt2 * 0.2 / std::sqrt(3.0), 1e-12));
  CHECK(within(class_u_K(thermistor, -0.001), std::numbers::sqrt2 * 0.2 / std::sqrt(3.0), 1e-12));
}

TEST_CASE("a class without a range holds everywhere") {
  CHECK(class_u_K(plain_class(1), 500) == class_u_K(plain_class(1), 20));
}

TEST_CASE("a normal tolerance is twice the standard uncertainty") {
  ProbeClass probe_class = plain_class(1);
  probe_class.distribution = Distribution::normal;
  CHECK(within(class_u_K(probe_class, 100), 0.5, 1e-12));
  probe_class.highest_degC = 90;
  CHECK(within(class_u_K(probe_class, 100), std::sqrt(0.25 + 1.0 / 3), 1e-12));
}

TEST_CASE("a stem adds its own term") {
  ProbeClass probe_class = plain_class(1);
  probe_class.stem_K = 1;
  CHECK(within(class_u_K(probe_class, 100), std::sqrt(2.0 / 3), 1e-12));
  CHECK(built_in_class("dial-stem").stem_K.has_value());
  CHECK(built_in_class("kitchen-stem").stem_K.has_value());
}

TEST_CASE("a broken row of probe classes names its cell and what is allowed") {
  CHECK(fault_of("x,X,dial,1,,rectangular,0,100,,,,site,").empty());
  CHECK(fault_of("x,X,dial,1,,rectangular,100,0,,,,site,") ==
        "mine.csv:2:29: highest_degC: 0 is not above lowest_degC, 100; allowed is a number above it, or an "
        "empty "
        "cell");
  CHECK(
      fault_of("x,X,dial,0,,rectangular,,,,,,site,").starts_with("mine.csv:2:10: tolerance_K: 0 is out of"));
  CHECK(fault_of("x,X,dial,1,,flat,,,,,,site,") ==
        "mine.csv:2:13: distribution: \"flat\" is not allowed; allowed is rectangular or normal");
  CHECK(fault_of("x,X,laser,1,,normal,,,,,,site,").find("\"laser\" is not allowed") != std::string::npos);
}
