#include "sizing/fuel.h"

#include "errors/our_fault.h"
#include "errors/user_error.h"
#include "support/approx.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <limits>

using namespace coldbag;
using coldbag::test::within;

namespace {

const std::vector<Fuel>& fuels() {
  static const std::vector<Fuel> all = read_fuels(TableFiles::built_in());
  return all;
}

std::string known(std::string_view words) {
  const Fuel* fuel = find_fuel(fuels(), words);
  return fuel == nullptr ? "none" : fuel->key;
}

/// The built-in table with one text in it replaced.
std::string table_with(std::string_view old_text, std::string_view new_text) {
  std::string csv(TableFiles::built_in().bytes("fuels.csv"));
  const std::size_t at = csv.find(old_text);
  REQUIRE(at != std::string::npos);
  return csv.replace(at, old_text.size(), new_text);
}

/// What reading a table complains of, "" where it does not.
std::string complaint(const std::string& csv) {
  try {
    static_cast<void>(read_fuels("t.csv", csv));
  } catch (const UserError& error) {
    return error.what();
  }
  return "";
}

} // namespace

TEST_CASE("a fuel is known by any of its words, in small or large letters") {
  CHECK(known("propane") == "propane");
  CHECK(known("LPG") == "propane");
  CHECK(known("Propane, two bottles") == "propane");
  CHECK(known("mains gas") == "natural-gas");
  CHECK(known("natural-gas") == "natural-gas");
  CHECK(known("heating oil No. 2") == "heating-oil");
  CHECK(known("Kerosene") == "kerosene");
  CHECK(known("electric element, 9 kW") == "electricity");
  CHECK(known("hardwood, split and dry") == "hardwood");
  CHECK(known("softwood") == "softwood");
}

TEST_CASE("where words begin together the longer one counts") {
  CHECK(known("wood") == "wood-open-fire");
  CHECK(known("wood pellets") == "pellets");
  CHECK(known("wood chips") == "green-chips");
  CHECK(known("wood boiler") == "hardwood");
  CHECK(known("dry chips") == "dry-chips");
  CHECK(known("dry wood chips") == "dry-chips");
}

TEST_CASE("of two fuels the one named first counts") {
  CHECK(known("propane, electric when it is out") == "propane");
  CHECK(known("electric, propane when it is out") == "electricity");
  CHECK(known("open fire of hardwood") == "wood-open-fire");
}

TEST_CASE("a fuel that is not known is not guessed") {
  CHECK(known("") == "none");
  CHECK(known("?") == "none");
  CHECK(known("propaneous") == "none"); // words inside other words are not meant
  CHECK(known("plywood") == "none");
  CHECK(known("gas") == "none"); // from the mains or from a bottle: they are told apart
  CHECK(find_fuel({}, "propane") == nullptr);
}

TEST_CASE("an empty word of a table fits nothing") {
  const std::vector<Fuel> all = read_fuels("t.csv", table_with(",softwood,", ",|softwood|,"));
  CHECK(find_fuel(all, "peat") == nullptr);
  CHECK(find_fuel(all, " 7") == nullptr);
  CHECK(find_fuel(all, "softwood")->key == "softwood");
}

TEST_CASE("every fuel is found by each of its own words") {
  for (const Fuel& fuel : fuels()) {
    CAPTURE(fuel.key);
    CHECK(find_fuel(fuels(), fuel.key) == &fuel);
    CHECK(find_fuel(fuels(), fuel.words) == &fuel);
    for (std::size_t from = 0; from <= fuel.words.size();) {
      const std::size_t bar = std::min(fuel.words.find('|', from), fuel.words.size());
      const std::string word = fuel.words.substr(from, bar - from);
      CAPTURE(word);
      CHECK(find_fuel(fuels(), word) == &fuel);
      from = bar + 1;
    }
  }
}

TEST_CASE("an open fire is no boiler, and says that nobody published its efficiency") {
  const Fuel& open_fire = *find_fuel(fuels(), "open fire");
  const Fuel& boiler = *find_fuel(fuels(), "hardwood");
  CHECK(open_fire.heat_J_per_unit == boiler.heat_J_per_unit);
  CHECK(open_fire.highest_efficiency <= boiler.lowest_efficiency / 2);
  CHECK(open_fire.lowest_efficiency == 0.10); // 10 to 30 %: common practice, no source
  CHECK(open_fire.highest_efficiency == 0.30);
  CHECK(open_fire.efficiency_basis == "common practice");
}

TEST_CASE("fuel is heat over heating value and efficiency") {
  const Fuel& propane = *find_fuel(fuels(), "propane");
  CHECK(propane.sold_by == SoldBy::volume);
  CHECK(fuel_per_heat(propane, 0, 0.8) == 0);
  CHECK(within(fuel_per_heat(propane, propane.heat_J_per_unit, 1), 1, 0, 1e-15));
  CHECK(within(fuel_per_heat(propane, 1e9, 0.4), 2 * fuel_per_heat(propane, 1e9, 0.8), 0, 1e-15));
  const Fuel& electricity = *find_fuel(fuels(), "electricity");
  CHECK(electricity.sold_by == SoldBy::energy);
  CHECK(fuel_per_heat(electricity, 3.6e6, 1) == 3.6e6); // 1 kWh
  CHECK(find_fuel(fuels(), "pellets")->sold_by == SoldBy::mass);
}

TEST_CASE("an efficiency that is none, and heat that is less than none, are our fault") {
  const Fuel& fuel = fuels().front();
  for (const double efficiency : {0.0, -0.1, 1.01, std::numeric_limits<double>::quiet_NaN()}) {
    CAPTURE(efficiency);
    CHECK_THROWS_AS((void)fuel_per_heat(fuel, 1, efficiency), OurFault);
  }
  CHECK_THROWS_AS((void)fuel_per_heat(fuel, -1, 0.5), OurFault);
}

TEST_CASE("a table that turns efficiencies round, or gives a heat in another unit, is refused at its place") {
  CHECK(complaint(table_with(",0.75,0.9,", ",0.9,0.75,")) ==
        "t.csv:8:73: lowest_efficiency: this range runs backwards; the lowest comes first and is not above "
        "the highest");
  CHECK(complaint(table_with(",19073200,", ",8200,")) ==
        "t.csv:9:67: heat_J_per_unit: 8200 J a unit is no fuel's heat; what is sold by mass has 1e6 to 1.5e8 "
        "J a kg");
  CHECK(complaint(table_with(",25781250000,", ",92500,")) != "");
  CHECK(complaint(table_with(",energy,1,", ",energy,3600000,")) != "");
  CHECK(complaint(table_with(",volume,", ",cord,")) != "");
  CHECK(complaint(table_with(",0.1,0.3,", ",10,30,")) != "");
  CHECK(complaint(table_with("heat_J_per_unit", "heat")) != "");
}
