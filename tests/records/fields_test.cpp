#include "records/fields.h"

#include "errors/user_error.h"

#include <doctest/doctest.h>

using namespace coldbag;

namespace {

const TableFiles& tables() {
  static const TableFiles files = TableFiles::built_in();
  return files;
}

std::vector<RecordField> asked(EntryKind kind) {
  return fields_of(read_record_fields(tables()), kind);
}

} // namespace

TEST_CASE("every kind that a person states has fields, and a choice has its words") {
  for (const EntryKind kind :
       {EntryKind::run, EntryKind::amendment, EntryKind::review, EntryKind::disposition, EntryKind::deviation,
        EntryKind::corrective_action, EntryKind::outcome, EntryKind::probe_check, EntryKind::inoculation,
        EntryKind::spore_strip})
    CHECK_FALSE(asked(kind).empty());
  for (const RecordField& field : read_record_fields(tables()))
    CHECK((field.form == FieldForm::choice) != field.choices.empty());
}

TEST_CASE("every fault of what was stated is told, by its field") {
  const auto fields = asked(EntryKind::outcome);
  CHECK(complaints_about(fields, {{"day", "14"}, {"looked_at", "60"}, {"bad", "3"}}).empty());
  const auto found = complaints_about(
      fields, {{"day", "soon"}, {"looked_at", " "}, {"place", "attic"}, {"colour", "green"}});
  std::vector<std::string> keys;
  for (const Complaint& complaint : found)
    keys.push_back(complaint.place.key_path);
  CHECK(keys == std::vector<std::string>{"bad", "day", "looked_at", "place", "colour"});
}

TEST_CASE("counts are whole, days are days, temperatures have a unit") {
  const auto fields = asked(EntryKind::probe_check);
  const FieldTexts good{
      {"probe", "T1"}, {"method", "boil"}, {"reads", "96.2 C"}, {"is", "205 F"}, {"result", "good"}};
  CHECK(complaints_about(fields, good).empty());
  for (const auto& [name, text] :
       FieldTexts{{"reads", "96.2"}, {"next_due", "2026-02-30"}, {"method", "Boil"}}) {
    FieldTexts bad = good;
    bad[name] = text;
    REQUIRE(complaints_about(fields, bad).size() == 1);
    CHECK(complaints_about(fields, bad).front().place.key_path == name);
  }
  const auto counts = asked(EntryKind::inoculation);
  for (const char* text : {"-1", "1.5", "1e3", "9999999999", "+4"})
    CHECK(complaints_about(counts, {{"bags", text}, {"inoculation_lot", "I1"}}).size() == 1);
}

TEST_CASE("a table of a site's own is read with every fault of it") {
  const std::string head = "key,kind,field,form,choices,needed,source,locator,basis,note\n";
  CHECK(read_record_fields("own.csv", head + "run-hood,run,hood,text,,no,,,site,\n").front().name == "hood");
  CHECK_THROWS_AS(static_cast<void>(read_record_fields("own.csv", head + "a,walk,hood,text,,no,,,site,\n")),
                  UserError);
  CHECK_THROWS_AS(static_cast<void>(read_record_fields("own.csv", head + "a,run,hood,choice,,no,,,site,\n")),
                  UserError);
  CHECK_THROWS_AS(static_cast<void>(read_record_fields("own.csv", head + "a,run,hood,text,x y,no,,,site,\n")),
                  UserError);
}

TEST_CASE("names stand between commas") {
  CHECK(names_in(" S1, S2 ,,S3 ") == std::vector<std::string>{"S1", "S2", "S3"});
  CHECK(names_in(" , ").empty());
}
