#include "errors/user_error.h"
#include "farm/treatment.h"
#include "tables/edition.h"

#include <doctest/doctest.h>

#include <set>
#include <string>
#include <vector>

using namespace coldbag;

namespace {

std::vector<Treatment> built_in_treatments() {
  const TableFiles tables = TableFiles::built_in();
  return read_treatments(tables.source_name("treatments.toml"), tables.bytes("treatments.toml"));
}

} // namespace

TEST_CASE("the built-in treatments are read, in their order") {
  std::vector<std::string> keys;
  for (const Treatment& treatment : built_in_treatments())
    keys.push_back(treatment.key);
  CHECK(keys == std::vector<std::string>{"sterilize", "atmospheric_steam", "atmospheric_steam_hot",
                                         "pasteurize_straw", "pasteurize_straw_aerated",
                                         "pasteurize_straw_cool", "wood_packaging", "compost"});
}

TEST_CASE("only wood packaging holds strictly, and every built-in treatment joins at 300 s") {
  for (const Treatment& treatment : built_in_treatments()) {
    CAPTURE(treatment.key);
    CHECK(treatment.strict_hold == (treatment.key == "wood_packaging"));
    CHECK(treatment.join_s == 300);
    CHECK(treatment.gap_s == (treatment.key == "sterilize" ? 900 : 1800));
    CHECK(treatment.gap_by_hand_s == (treatment.key == "sterilize" ? 1500 : 2400));
  }
}

TEST_CASE("every built-in figure states its basis, and a published one its source") {
  for (const Treatment& treatment : built_in_treatments()) {
    CAPTURE(treatment.key);
    for (const TreatmentFigure& figure : treatment.figures) {
      CHECK(figure.basis != Basis::site);
      CHECK((figure.basis != Basis::published || !figure.source.empty()));
    }
    for (const TreatmentCriterion& criterion : treatment.criteria) {
      CAPTURE(criterion.name);
      CHECK(criterion.basis != Basis::site);
      CHECK((criterion.basis != Basis::published || !criterion.source.empty()));
      CHECK_FALSE(criterion.note.empty());
    }
  }
}

TEST_CASE("the limits of sterilize and of atmospheric steam arrive in the program's units") {
  const std::vector<Treatment> treatments = built_in_treatments();
  const Treatment* sterilize = find_treatment(treatments, "sterilize");
  REQUIRE(sterilize != nullptr);
  CHECK(sterilize->reference.at_degC == 121.1);
  CHECK(sterilize->counts_from_degC == 110.0);
  CHECK(sterilize->setpoint_degC == 118);
  CHECK(sterilize->criteria[0].required == 15);
  const Treatment* steam = find_treatment(treatments, "atmospheric_steam");
  REQUIRE(steam != nullptr);
  CHECK(steam->setpoint_degC == 88);
  CHECK(steam->criteria[0].required == 720);
  CHECK(steam->criteria[1].heavier == HeavierBags{3, 960, Basis::assumed});
}
