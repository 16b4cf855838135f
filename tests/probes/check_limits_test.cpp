// The table of limits is read whole or refused.
#include "probes/check_limits.h"

#include "errors/user_error.h"

#include <doctest/doctest.h>

#include <string>

using namespace coldbag;

namespace {

std::string table() {
  return std::string(TableFiles::built_in().bytes("probe-checks.csv"));
}

std::string changed(const std::string& from, const std::string& to) {
  std::string text = table();
  const std::size_t at = text.find(from);
  REQUIRE(at != std::string::npos);
  return text.replace(at, from.size(), to);
}

std::string complaint(const std::string& text) {
  try {
    (void)read_check_limits("limits.csv", text);
  } catch (const UserError& error) {
    REQUIRE(error.complaints().size() == 1);
    return error.complaints().front().problem;
  }
  return "";
}

} // namespace

TEST_CASE("the built-in limits are read, each in its unit") {
  const CheckLimits limits = read_check_limits(TableFiles::built_in());
  CHECK(limits.bag_step_K == 4);
  CHECK(limits.lowest_degC == -40);
  CHECK(limits.stuck_s == 1200);
  CHECK(limits.copied_readings == 60);
}

TEST_CASE("a farm's own limit takes the place of the built-in one") {
  CHECK(read_check_limits("limits.csv", changed("bag_step,4,K", "bag_step,6.5,K")).bag_step_K == 6.5);
}

TEST_CASE("an unknown, missing, senseless or wrongly measured limit is refused by name") {
  CHECK(complaint(changed("bag_step,4,K", "bag_step,4,s")).find("not the unit of bag_step") !=
        std::string::npos);
  CHECK(complaint(changed("bag_step,4,K", "bag_step,0,K")).find("not above 0") != std::string::npos);
  CHECK(complaint(table() + "zigzag,1,K,,,,assumed\n").find("\"zigzag\"") != std::string::npos);
  const std::string text = table();
  const std::size_t at = text.find("\nstuck,") + 1;
  std::string without = text;
  without.erase(at, text.find('\n', at) + 1 - at);
  CHECK(complaint(without).find("stuck is missing") != std::string::npos);
}
