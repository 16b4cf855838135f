#include "records/statement_rules.h"

#include <doctest/doctest.h>

using namespace coldbag;

TEST_CASE("only a release against a verdict other than PASS wants a reason and a second person") {
  const auto faults = [](const char* disposition, const char* verdict, FieldTexts more) {
    more["disposition"] = disposition;
    return complaints_about(EntryKind::disposition, more, "Ana", verdict).size();
  };
  CHECK(faults("released", "pass", {}) == 0);
  CHECK(faults("discarded", "fail", {}) == 0);
  CHECK(faults("held", "unproven", {}) == 0);
  for (const char* verdict : {"fail", "unproven", ""})
    for (const char* release : {"released", "released_as_trial"}) {
      CHECK(faults(release, verdict, {}) == 2);
      CHECK(faults(release, verdict, {{"reason", "trial"}, {"second", "Ana"}}) == 1);
      CHECK(faults(release, verdict, {{"reason", "trial"}, {"second", "Ben"}}) == 0);
    }
}

TEST_CASE("there are never more bad ones than were looked at") {
  CHECK(complaints_about(EntryKind::outcome, {{"bad", "4"}, {"looked_at", "4"}}, "A", "pass").empty());
  CHECK(complaints_about(EntryKind::outcome, {{"bad", "5"}, {"looked_at", "4"}}, "A", "pass").size() == 1);
  CHECK(complaints_about(EntryKind::spore_strip,
                         {{"grown", "3"}, {"strips", "2"}, {"control_grown", "2"}, {"control_strips", "1"}},
                         "A", "pass")
            .size() == 2);
}

TEST_CASE("spores that grew after a PASS are a deviation, where those beside them were alive") {
  const FieldTexts grew{{"grown", "1"}, {"control_grown", "1"}};
  CHECK(deviation_opened_by(EntryKind::spore_strip, grew, "pass") == "growth");
  CHECK_FALSE(deviation_opened_by(EntryKind::spore_strip, grew, "fail"));
  CHECK_FALSE(deviation_opened_by(EntryKind::spore_strip, {{"grown", "1"}, {"control_grown", "0"}}, "pass"));
  CHECK_FALSE(deviation_opened_by(EntryKind::spore_strip, {{"grown", "0"}, {"control_grown", "2"}}, "pass"));
}

TEST_CASE("doors, power, water and bursts deviate; a door after steam off does not") {
  CHECK(deviation_of_event("door_opened", true) == "door");
  CHECK(deviation_of_event("power_cut", true) == "power");
  CHECK(deviation_of_event("water_added", true) == "water");
  CHECK(deviation_of_event("bag_burst", true) == "burst");
  CHECK(deviation_of_event("bag_burst", false) == "burst");
  CHECK_FALSE(deviation_of_event("door_opened", false));
  CHECK_FALSE(deviation_of_event("vent_closed", true));
}

TEST_CASE("what a statement may be about, and what its signature stands for") {
  CHECK(is_about(EntryKind::outcome) == std::vector{EntryKind::run});
  CHECK(is_about(EntryKind::corrective_action) == std::vector{EntryKind::deviation});
  CHECK(is_about(EntryKind::review).empty());
  CHECK(meaning_of(EntryKind::review) == Meaning::review);
  CHECK(meaning_of(EntryKind::disposition) == Meaning::approval);
  CHECK(meaning_of(EntryKind::outcome) == Meaning::authorship);
  CHECK_FALSE(is_statement(EntryKind::run));
  CHECK_FALSE(is_statement(EntryKind::imported));
  CHECK(is_statement(EntryKind::spore_strip));
}
