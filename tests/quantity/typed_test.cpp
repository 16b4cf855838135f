// Numbers as wet hands type them.
#include "quantity/typed.h"
#include "support/approx.h"

#include <doctest/doctest.h>

using namespace coldbag;
using coldbag::test::within;

TEST_CASE("point and comma are the same, and a unit may follow") {
  CHECK(typed_number("98.4")->value == 98.4);
  CHECK(typed_number(" 98,4 ")->digits == "98.4");
  CHECK(typed_number("98,4 C")->unit == "C");
  CHECK(typed_number("98.40")->decimals == 2);
  CHECK(typed_number("-0,2")->value == -0.2);
  CHECK(typed_number("+7.")->digits == "7");
  CHECK(typed_number(".5")->digits == "0.5");
}

TEST_CASE("what is no single number is none") {
  for (const char* text : {"", " ", "-", ".", "98.4.1", "98,4,1", "98.4 97.1", "C", "9 8", "nan", "1e3"}) {
    CAPTURE(text);
    CHECK_FALSE(typed_number(text).has_value());
  }
}

TEST_CASE("a temperature without unit is taken in the one that is used, and its last digit is its step") {
  CHECK(within(typed_temperature("99,1", false)->degC, 99.1, 1e-12));
  CHECK(within(typed_temperature("99,1", false)->step_K, 0.1, 1e-12));
  CHECK(within(typed_temperature("212", true)->degC, 100, 1e-12));
  CHECK(within(typed_temperature("212", true)->step_K, 5.0 / 9, 1e-12));
  CHECK(within(typed_temperature("212 F", false)->degC, 100, 1e-12));
  CHECK_FALSE(typed_temperature("99 kg", false).has_value());
  CHECK_FALSE(typed_temperature("-300 C", false).has_value());
}
