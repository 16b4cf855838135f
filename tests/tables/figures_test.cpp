#include "errors/our_fault.h"
#include "errors/user_error.h"
#include "tables/figures.h"

#include <doctest/doctest.h>

#include <array>

using namespace coldbag;

namespace {

constexpr std::array rules{FigureRule{"depth", "m", 0, 10}, FigureRule{"warmth", "K", -5, 5}};
const std::string head = "key,value,unit,source,locator,basis,note\n";

std::vector<Complaint> faults_of(const std::string& rows) {
  try {
    static_cast<void>(Figures::read("t.csv", head + rows, rules));
  } catch (const UserError& error) {
    return error.complaints();
  }
  return {};
}

} // namespace

TEST_CASE("figures are found by key") {
  const Figures figures =
      Figures::read("t.csv", head + "depth,2.5,m,,,assumed,\nwarmth,-1,K,,,assumed,\n", rules);
  CHECK(figures.at("depth") == 2.5);
  CHECK(figures.at("warmth") == -1);
  CHECK_THROWS_AS(static_cast<void>(figures.at("width")), OurFault);
}

TEST_CASE("every fault of a table of figures is told with its place") {
  const std::vector<Complaint> faults = faults_of("depth,11,cm,,,assumed,\nwidth,1,m,,,assumed,\n");
  REQUIRE(faults.size() == 4);
  CHECK(to_text(faults[0]).find("\"cm\" is not the unit") != std::string::npos);
  CHECK(to_text(faults[1]).find("11 is out of range") != std::string::npos);
  CHECK(to_text(faults[2]).find("this row is missing") != std::string::npos);
  CHECK(to_text(faults[3]).find("\"width\" is no figure") != std::string::npos);
}
