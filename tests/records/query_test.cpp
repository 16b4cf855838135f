#include "records/query.h"

#include <doctest/doctest.h>

#include <chrono>

using namespace coldbag;

namespace {

Instant instant(const char* text) {
  return Instant(std::chrono::microseconds(parse_iso_time(text)->wall.us));
}

KeptRun run(std::uint64_t number, const char* name, const char* began) {
  KeptRun out;
  out.number = number;
  out.content.run = name;
  out.content.verdict = "pass";
  out.content.probes = {"T1"};
  out.event_at = {instant(began), 0};
  out.entered_at = out.event_at;
  return out;
}

KeptStatement statement(std::uint64_t number, EntryKind kind, std::vector<std::uint64_t> about,
                        FieldTexts fields, const char* at) {
  KeptStatement out;
  out.number = number;
  out.kind = kind;
  out.about = std::move(about);
  out.statement.run = "night";
  out.statement.fields = std::move(fields);
  out.event_at = out.entered_at = {instant(at), 0};
  return out;
}

std::string day(WallTime wall) {
  return print_iso_wall(wall).substr(0, 10);
}

} // namespace

TEST_CASE("working days pass over the weekend") {
  const auto after = [](const char* text, int days) {
    return day(working_days_after(parse_iso_time(text)->wall, days));
  };
  CHECK(after("2026-03-05T23:59:00", 1) == "2026-03-06"); // Thursday
  CHECK(after("2026-03-06T08:00:00", 1) == "2026-03-09"); // Friday
  CHECK(after("2026-03-07T08:00:00", 1) == "2026-03-09"); // Saturday
  CHECK(after("2026-03-06T08:00:00", 7) == "2026-03-17");
}

TEST_CASE("a review is missing once its day is over, by the clock of the run") {
  History history;
  history.runs = {run(1, "night", "2026-03-05T20:00:00")};
  CHECK(missing_reviews(history, 1, instant("2026-03-06T23:59:59")).empty());
  REQUIRE(missing_reviews(history, 1, instant("2026-03-07T00:00:00")).size() == 1);
  history.runs.front().event_at.utc_offset_s = -5 * 3600; // 15:00 there
  CHECK(missing_reviews(history, 1, instant("2026-03-07T00:00:00")).empty());
  history.statements = {statement(2, EntryKind::review, {1}, {{"agrees", "yes"}}, "2026-03-10")};
  CHECK(missing_reviews(history, 1, instant("2026-04-07")).empty());
}

TEST_CASE("a deviation stays open until an action says that it closes it") {
  History history;
  history.runs = {run(1, "night", "2026-03-05T20:00:00")};
  history.statements = {
      statement(2, EntryKind::deviation, {1}, {{"event", "door"}, {"what", "ajar"}}, "2026-03-05T21:00:00"),
      statement(3, EntryKind::corrective_action, {2}, {{"action", "looked"}, {"closes", "no"}},
                "2026-03-06")};
  REQUIRE(open_deviations(history).size() == 1);
  CHECK(open_deviations(history).front().what == "ajar");
  history.statements.push_back(statement(4, EntryKind::corrective_action, {2},
                                         {{"action", "new hinge"}, {"closes", "yes"}}, "2026-03-07"));
  CHECK(open_deviations(history).empty());
}

TEST_CASE("runs are in doubt since the last good check of a probe, of the ledger or of the site file") {
  History history;
  history.runs = {run(1, "a", "2026-03-01"), run(2, "b", "2026-04-01"), run(3, "c", "2026-05-01")};
  CHECK(runs_since_good_check(history, "T1") == std::vector<std::uint64_t>{1, 2, 3});
  CHECK(runs_since_good_check(history, "T2").empty());
  history.runs[2].content.probe_checks = {{"T1", "2026-03-15"}};
  CHECK(runs_since_good_check(history, "T1") == std::vector<std::uint64_t>{2, 3});
  history.statements = {
      statement(4, EntryKind::probe_check, {},
                {{"probe", "T1"}, {"result", "good"}, {"reads", "96 C"}, {"is", "96 C"}}, "2026-04-10"),
      statement(5, EntryKind::probe_check, {},
                {{"probe", "T1"}, {"result", "bad"}, {"reads", "99 C"}, {"is", "96 C"}}, "2026-05-10")};
  CHECK(runs_since_good_check(history, "T1") == std::vector<std::uint64_t>{3});
  const auto checks = checks_of_probe(history, "T1");
  REQUIRE(checks.size() == 2);
  CHECK(corrected_degC(checks[1].check.correction, 99) == doctest::Approx(96));
  const auto last = last_checks(history, 365, instant("2026-05-11"));
  REQUIRE(last.size() == 1);
  CHECK(last.front().is_overdue);
  CHECK_FALSE(last.front().is_good);
}

TEST_CASE("a good check lasts until the day that was stated, else so many days") {
  History history;
  history.statements = {
      statement(1, EntryKind::probe_check, {}, {{"probe", "T1"}, {"result", "good"}}, "2026-03-01")};
  const auto overdue = [&](const char* at) {
    return last_checks(history, 30, instant(at)).front().is_overdue;
  };
  CHECK_FALSE(overdue("2026-03-31T23:00:00"));
  CHECK(overdue("2026-04-01T00:00:00"));
  history.statements.front().statement.fields["next_due"] = "2026-06-01";
  CHECK_FALSE(overdue("2026-06-01T23:00:00"));
  CHECK(overdue("2026-06-02T00:00:00"));
}

TEST_CASE("a record is kept from the last that was written about it, and a leap day ends in February") {
  History history;
  history.runs = {run(1, "a", "2024-02-29T10:00:00"), run(2, "b", "2024-03-05")};
  const auto first = keep_until(history, 5, instant("2026-03-01"));
  REQUIRE(first.size() == 2);
  CHECK(day(first[0].until) == "2029-02-28");
  CHECK(day(first[1].until) == "2029-03-05");
  CHECK_FALSE(first[0].is_past);
  CHECK(keep_until(history, 1, instant("2025-03-01T00:00:00"))[0].is_past);
  history.statements = {statement(3, EntryKind::deviation, {1}, {}, "2024-06-01"),
                        statement(4, EntryKind::corrective_action, {3}, {}, "2024-07-01")};
  const auto later = keep_until(history, 5, instant("2026-03-01"));
  CHECK(later[1].number == 1);
  CHECK(day(later[1].until) == "2029-07-01");
}

TEST_CASE("a lot is traced from what went in to what came out, and back") {
  History history;
  history.runs = {run(1, "a", "2026-03-01"), run(2, "b", "2026-03-02")};
  history.runs[0].content.lots = {"L7"};
  history.runs[0].fields = {{"material_lots", "S4, B2"}};
  history.runs[1].content.lots = {"L8"};
  history.statements = {
      statement(3, EntryKind::inoculation, {1},
                {{"inoculation_lot", "I9"}, {"spawn_lot", "SP1, SP2"}, {"room", "2"}, {"bags", "40"}},
                "2026-03-03"),
      statement(4, EntryKind::disposition, {2}, {{"disposition", "discarded"}, {"bags", "rack 2"}},
                "2026-03-03"),
      statement(5, EntryKind::outcome, {1}, {{"bad", "3"}}, "2026-03-17"),
      statement(6, EntryKind::outcome, {1}, {{"bad", "2"}}, "2026-03-24")};
  const auto all = lot_trails(history);
  for (const char* name : {"L7", "S4", "B2", "I9", "SP1", "SP2", "2", "a"}) {
    const auto on = trails_of(all, name);
    REQUIRE(on.size() == 1);
    CHECK(on.front().number == 1);
    CHECK(on.front().bad == 5);
  }
  CHECK(trails_of(all, "L8").front().dispositions == std::vector<std::string>{"discarded: rack 2"});
  CHECK(trails_of(all, "L9").empty());
}

TEST_CASE("rules of keeping and of review are read with their sources") {
  const auto rules = read_record_rules(TableFiles::built_in());
  CHECK(rules.size() >= 4);
  for (const RecordRule& rule : rules)
    CHECK(rule.value >= 1);
}
