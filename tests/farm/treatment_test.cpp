#include "farm/treatment.h"

#include <doctest/doctest.h>

#include <string>

using namespace coldbag;

namespace {

// Invented figures; only the form matters here.
constexpr std::string_view every_key = R"toml(
[[treatment]]
key = "first"
name = "first treatment"
vessel_kinds = ["pressure-rated"]
reference = { name = "F0", at = "121 C", z = "10 K" }
counts_from = { value = "110 C", basis = "assumed", source = "s1", locator = "p.1" }
setpoint = { value = "95 C", under_boiling = "2 K", basis = "published", source = "s2" }
strict_hold = true
join = "200 s"
gap = "900 s"
gap_by_hand = "1500 s"
needs_moist_wood_note = true
notes = ["note_one", "note_two"]

[[treatment.criterion]]
name = "lethality"
measure = "F"
at_least = "15 min"
on_miss = "fail"
basis = "common practice"
source = "s3"
locator = "p.3"
note = "why"

[[treatment.criterion]]
name = "cook"
measure = "F"
at_most = "60 min"
reference = { name = "C", at = "100 C", z = "33 K" }
on_miss = "caution"

[[treatment.criterion]]
name = "wanted_hold"
measure = "hold"
at_least = "14 h"
heavier = { than = "3 kg", at_least = "16 h", basis = "assumed" }

[[treatment.criterion]]
name = "all_hot"
measure = "all_hot"
at_least = "30 min"

[[treatment.criterion]]
name = "too_long"
measure = "minutes_at_or_above"
level = "118 C"
at_most = "5 h"

[[treatment.criterion]]
name = "top"
measure = "top"
below = "93 C"

[[treatment.criterion]]
name = "over"
measure = "over_boiling"
at_most = "0.5 K"
for = "2 min"

[[treatment.criterion]]
name = "under"
measure = "under_saturation"
at_most = "1.5 K"
for = "5 min"

[[treatment.criterion]]
name = "moisture"
measure = "moisture"
between = ["50 %", "75 %"]

[[treatment.criterion]]
name = "kill"
measure = "log_reduction"
at_least = 6
organism = "an-organism"

[[treatment]]
key = "second_one"
setpoint = "90 C"
[[treatment.criterion]]
name = "hold"
measure = "hold"
at_least = "10 h"
)toml";

} // namespace

TEST_CASE("every key of a treatment is read, durations in minutes") {
  const std::vector<Treatment> treatments = read_treatments("t.toml", every_key);
  REQUIRE(treatments.size() == 2);
  const Treatment& first = treatments[0];
  CHECK(first.name == "first treatment");
  CHECK(first.vessel_kinds == std::vector<std::string>{"pressure-rated"});
  CHECK(first.reference == Reference{"F0", 121, 10, {}, {}});
  CHECK(first.counts_from_degC == 110.0);
  CHECK(first.setpoint_degC == 95);
  CHECK(first.setpoint_under_boiling_K == 2.0);
  REQUIRE(first.figures.size() == 2);
  CHECK(first.figures[0] == TreatmentFigure{"counts_from", Basis::assumed, "s1", "p.1"});
  CHECK(first.figures[1] == TreatmentFigure{"setpoint", Basis::published, "s2", ""});
  CHECK(first.strict_hold);
  CHECK(first.join_s == 200);
  CHECK(first.gap_s == 900);
  CHECK(first.gap_by_hand_s == 1500);
  CHECK(first.needs_moist_wood_note);
  CHECK(first.notes == std::vector<std::string>{"note_one", "note_two"});

  REQUIRE(first.criteria.size() == 10);
  const TreatmentCriterion& lethality = first.criteria[0];
  CHECK(lethality.measure == Measure::F);
  CHECK(lethality.sense == Sense::at_least);
  CHECK(lethality.required == 15);
  CHECK(lethality.fails);
  CHECK(lethality.basis == Basis::common_practice);
  CHECK(lethality.source == "s3");
  CHECK(lethality.locator == "p.3");
  CHECK(lethality.note == "why");
  CHECK(first.criteria[1].reference == Reference{"C", 100, 33, {}, {}});
  CHECK(first.criteria[1].sense == Sense::at_most);
  CHECK_FALSE(first.criteria[1].fails);
  CHECK(first.criteria[2].heavier == HeavierBags{3, 960, Basis::assumed});
  CHECK(first.criteria[2].required == 840);
  CHECK(first.criteria[3].measure == Measure::all_hot);
  CHECK(first.criteria[4].level_degC == 118.0);
  CHECK(first.criteria[4].required == 300);
  CHECK(first.criteria[5].sense == Sense::below);
  CHECK(first.criteria[5].required == 93);
  CHECK(first.criteria[6].for_s == 120.0);
  CHECK(first.criteria[7].measure == Measure::under_saturation);
  CHECK(first.criteria[7].required == 1.5);
  CHECK(first.criteria[8].required == 0.5);
  CHECK(first.criteria[8].required_to == 0.75);
  CHECK(first.criteria[9].organism == "an-organism");
  CHECK(first.criteria[9].required == 6);
}

TEST_CASE("a treatment of a farm's own needs little, and rests on the site") {
  const std::vector<Treatment> treatments = read_treatments("t.toml", every_key);
  const Treatment& second = treatments[1];
  CHECK(second.name == "second one");
  CHECK(second.vessel_kinds == std::vector<std::string>{"vented", "pressure-rated"});
  CHECK(second.setpoint_degC == 90);
  CHECK_FALSE(second.strict_hold);
  CHECK(second.join_s == 300);
  CHECK(second.gap_s == 1800);
  CHECK(second.gap_by_hand_s == 2400);
  CHECK(second.criteria[0].basis == Basis::site);
  CHECK(second.criteria[0].fails);
  CHECK(second.figures[0].basis == Basis::site);
  CHECK(find_treatment(treatments, "second_one") == &treatments[1]);
  CHECK(find_treatment(treatments, "third") == nullptr);
}

TEST_CASE("words of bases and measures find themselves again") {
  for (const Basis basis :
       {Basis::published, Basis::common_practice, Basis::from_memory, Basis::assumed, Basis::site})
    CHECK(find_basis(basis_text(basis)) == basis);
  for (int i = 0; i <= static_cast<int>(Measure::log_reduction); ++i)
    CHECK(find_measure(measure_text(static_cast<Measure>(i))) == static_cast<Measure>(i));
  CHECK_FALSE(find_basis("guess").has_value());
  CHECK_FALSE(find_measure("f").has_value());
}
