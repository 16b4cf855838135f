// Runs as CSV: cells by RFC 4180, no formulas, what was stated later.
#include "records/runs_csv.h"

#include "records/ledger.h"
#include "records/made_entry.h"
#include "records/made_keys.h"
#include "records/statement_json.h"
#include "support/temp_folder.h"

#include <doctest/doctest.h>

using namespace coldbag;
using namespace coldbag::test;

namespace {

EntryId id_at(const Store& store, std::uint64_t number) {
  return leaf_hash(store.row(number)->leaf);
}

class Ledger {
 public:
  explicit Ledger(const TempFolder& folder)
      : store_(Store::make(folder.path_of("l"))), key_(key_of_letter('k')) {
    Entry first = made_entry();
    first.refers_to.clear();
    begin_ledger(store_, key_, first);
  }
  void runs(const std::string& name, const std::string& report) {
    RunContent content;
    content.run = name;
    content.vessel = "room, north";
    content.verdict = "pass";
    content.report = report;
    add(EntryKind::run, run_content_json(content), {});
  }
  void states(EntryKind kind, const FieldTexts& fields, std::uint64_t about) {
    add(kind, statement_json({"", "", "", fields}), {id_at(store_, about)});
  }
  [[nodiscard]] const Store& store() const { return store_; }

 private:
  void add(EntryKind kind, const std::string& content, std::vector<EntryId> refers_to) {
    Entry entry = made_entry();
    entry.kind = kind;
    entry.content = content;
    entry.refers_to = std::move(refers_to);
    entry.who.name = "Ana \"A.\" Example";
    add_entry(store_, key_, entry, {});
  }

  Store store_;
  SigningKey key_;
};

} // namespace

TEST_SUITE("runs as CSV") {
  // RFC 4180, 2.5 to 2.7.
  TEST_CASE("a cell is in quotes only where it must be, and quotes in it are doubled") {
    CHECK(csv_text_cell("") == "");
    CHECK(csv_text_cell("rack 2") == "rack 2");
    CHECK(csv_text_cell("rack 2, left") == "\"rack 2, left\"");
    CHECK(csv_text_cell("b \"q\" c") == "\"b \"\"q\"\" c\"");
    CHECK(csv_text_cell("\"") == "\"\"\"\"");
    CHECK(csv_text_cell("a\r\nb") == "\"a\r\nb\"");
  }

  TEST_CASE("no text is a formula, and its apostrophe can be told from one of its own") {
    for (const std::string begin : {"=", "+", "-", "@", "\t", "'"})
      CHECK(csv_text_cell(begin + "1+2") == "'" + begin + "1+2");
    CHECK(csv_text_cell("=HYPERLINK(\"x\",1)") == "\"'=HYPERLINK(\"\"x\"\",1)\"");
    CHECK(csv_text_cell("\r=1") == "\"'\r=1\"");
    CHECK(csv_text_cell("1=1") == "1=1");
  }

  TEST_CASE(
      "a line holds the figures of the coldest bag, numbers as they are, and nothing for what is not known") {
    const TempFolder folder;
    Ledger ledger(folder);
    ledger.runs("one", R"({"coldest":{"probe":"c","bag":"brick","F_minutes":12.5,"F_minutes_lower":-0.25,)"
                       R"("hold_minutes":90,"hold_minutes_lower":88.5},)"
                       R"("probes":[{"name":"b","top_degC":99},{"name":"c","top_degC":121.0625}],)"
                       R"("heating":[{"probes":[{"probe":"c","lag_minutes":75}]}],)"
                       R"("reach":{"bag_count":240,"probed_bags":2}})");
    ledger.runs("two", "{}");
    std::vector<CsvRun> runs = csv_runs(read_history(ledger.store()));
    REQUIRE(runs.size() == 2);
    for (CsvRun& run : runs)
      run.figures = report_figures(ledger.store().row(run.number)->leaf);
    runs[0].keep_until = WallTime{1893456000000000};
    const std::string id = hex_text(runs[0].id);
    const std::string csv = runs_csv(runs);
    CHECK(csv.starts_with(
        "entry,kind,id,run,vessel,treatment,verdict,event_at,entered_at,by,coldest_probe,coldest_bag,"
        "F_minutes,F_minutes_lower,hold_minutes,hold_minutes_lower,top_degC,lag_minutes,bags,"
        "probed_bags,disposition,reviewed_by,reviewed_at,review_agrees,bad,looked_at,keep_until\r\n"));
    CHECK(
        csv.find(
            "\r\n1,run," + id +
            ",one,\"room, north\",,pass,2026-03-08T09:05:09-05:00,2026-03-08T15:05:09.25+00:00,"
            "\"Ana \"\"A.\"\" Example\",c,brick,12.5,-0.25,90,88.5,121.0625,75,240,2,,,,,,,2030-01-01\r\n") !=
        std::string::npos);
    CHECK(csv.ends_with(",,,,,,,,,,,,,,,,,\r\n"));
  }

  TEST_CASE(
      "the latest disposition and review stand; bad bags are added, the same bags are not counted again") {
    const TempFolder folder;
    Ledger ledger(folder);
    ledger.runs("one", "{}");
    ledger.states(EntryKind::disposition, {{"disposition", "held"}}, 1);
    ledger.states(EntryKind::review, {{"agrees", "no"}}, 1);
    ledger.states(EntryKind::outcome, {{"bad", "2"}, {"looked_at", "60"}, {"inoculation_lot", "a"}}, 1);
    ledger.states(EntryKind::outcome, {{"bad", "1"}, {"looked_at", "58"}, {"inoculation_lot", "a"}}, 1);
    ledger.states(EntryKind::outcome, {{"bad", "0"}, {"looked_at", "40"}, {"inoculation_lot", "b"}}, 1);
    ledger.states(EntryKind::disposition, {{"disposition", "released"}}, 1);
    ledger.states(EntryKind::review, {{"agrees", "yes"}}, 1);
    const std::string csv = runs_csv(csv_runs(read_history(ledger.store())));
    CHECK(csv.find(",released,\"Ana \"\"A.\"\" Example\",2026-03-08T09:05:09-05:00,yes,3,100,\r\n") !=
          std::string::npos);
  }
}
