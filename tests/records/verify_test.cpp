// A ledger, and what is done to it behind its back: every change is found, and where.
#include "records/verify.h"

#include "records/ledger_json.h"
#include "records/made_entry.h"
#include "records/made_keys.h"
#include "records/refused.h"
#include "support/temp_folder.h"

#include <doctest/doctest.h>
#include <soci/soci.h>
#include <soci/sqlite3/soci-sqlite3.h>

#include <filesystem>

using namespace coldbag;
using namespace coldbag::test;

namespace {

Entry first_entry() {
  Entry entry = made_entry();
  entry.content = R"({"site":"an invented farm"})";
  entry.refers_to.clear();
  return entry;
}

/// The n-th run; invented.
Entry run_entry(int n) {
  Entry entry = first_entry();
  entry.content = R"({"run":"invented-)" + std::to_string(n) +
                  R"(","treatment":"sterilize","verdict":"PASS","vessel":"room"})";
  entry.event_at.at += std::chrono::hours(24 * n);
  entry.entered_at.at += std::chrono::hours(24 * n);
  return entry;
}

std::vector<KeptFile> files_of(int n) {
  return {{"log.csv", "time,core\n00:00,2" + std::to_string(n) + "\n"}, {"farm.toml", "[site]\n"}};
}

Store made_ledger(const std::string& path, int runs) {
  const SigningKey key = key_of_letter('k');
  Store store = Store::make(path);
  begin_ledger(store, key, first_entry());
  for (int n = 1; n <= runs; ++n)
    add_entry(store, key, run_entry(n), files_of(n));
  return store;
}

/// Somebody who opens the file with another program and drops the triggers.
class Intruder {
 public:
  explicit Intruder(const std::string& path) : sql_(soci::sqlite3, "dbname=\"" + path + "\"") {
    for (const char* trigger :
         {"entries_stay", "entries_remain", "entries_follow", "files_stay", "files_remain", "files_once"})
      sql_ << "DROP TRIGGER " << trigger;
  }
  void does(const std::string& statement) { sql_ << statement; }
  std::string reads(const std::string& query) {
    std::string out;
    sql_ << query, soci::into(out);
    return out;
  }
  void writes(const std::string& statement, const std::string& value) { sql_ << statement, soci::use(value); }

 private:
  soci::session sql_;
};

std::optional<LedgerFault> fault_of(const std::string& path, const std::vector<TreeHead>& seals = {}) {
  return verify_ledger(Store::open(path), seals).fault;
}

} // namespace

TEST_SUITE("a ledger") {
  TEST_CASE("what was added is there, in order, and verifies") {
    const TempFolder folder;
    const Store store = made_ledger(folder.path_of("a ledger.db"), 5);
    const LedgerCheck check = verify_ledger(store, {});
    CHECK_FALSE(check.fault);
    CHECK(check.entries == 6);
    CHECK(check.files == 6); // the site's file once, five logs
    CHECK(check.keys.size() == 1);
    CHECK(store.size() == 6);
    const Entry third = entry_of(*store.row(3));
    CHECK(subject_of(third).run == "invented-3");
    CHECK(file_bytes(store, third.attachments[0]) == files_of(3)[0].bytes);
    RowFilter passed;
    passed.verdict = "PASS";
    CHECK(store.list(passed).size() == 5);
    passed.run = "invented-4";
    REQUIRE(store.list(passed).size() == 1);
    CHECK(store.list(passed)[0].number == 4);
    RowFilter later;
    later.from_us = subject_of(third).event_us;
    CHECK(store.list(later).size() == 3);
  }

  TEST_CASE("the database itself refuses to change, remove or squeeze in a row") {
    const TempFolder folder;
    const std::string path = folder.path_of("ledger.db");
    (void)made_ledger(path, 2);
    soci::session sql(soci::sqlite3, "dbname=\"" + path + "\"");
    for (const char* statement : {"UPDATE entries SET leaf = 'x'", "DELETE FROM entries WHERE number = 2",
                                  "UPDATE files SET packed = 'x'", "DELETE FROM files",
                                  "INSERT OR REPLACE INTO entries SELECT * FROM entries WHERE number = 1",
                                  "INSERT OR REPLACE INTO files SELECT * FROM files"}) {
      CAPTURE(statement);
      CHECK_THROWS_AS(sql << statement, soci::soci_error);
    }
    CHECK_FALSE(fault_of(path));
  }

  TEST_CASE("every column of every row that is altered is found at its entry") {
    const TempFolder folder;
    const std::string path = folder.path_of("ledger.db");
    (void)made_ledger(path, 3);
    for (const char* column : {"leaf", "id", "root", "frontier", "signature", "signed_by", "kind", "run",
                               "vessel", "treatment", "verdict"})
      for (int number = 0; number < 4; ++number) {
        const std::string copy = folder.path_of("copy.db");
        std::filesystem::copy_file(path, copy, std::filesystem::copy_options::overwrite_existing);
        {
          Intruder intruder(copy);
          intruder.does("UPDATE entries SET " + std::string(column) + " = " + column +
                        " || '0' WHERE number = " + std::to_string(number));
        }
        CAPTURE(column);
        const auto fault = fault_of(copy);
        REQUIRE(fault);
        CHECK(fault->number == static_cast<std::uint64_t>(number));
        std::filesystem::remove(copy);
        std::filesystem::remove(copy + "-wal");
        std::filesystem::remove(copy + "-shm");
      }
  }

  TEST_CASE("every letter of a leaf and of a kept file counts") {
    const TempFolder folder;
    const std::string path = folder.path_of("ledger.db");
    (void)made_ledger(path, 2);
    Intruder intruder(path);
    for (const auto& [column, table, row] :
         {std::array{std::string("leaf"), std::string("entries"), std::string("number = 1")},
          std::array{std::string("packed"), std::string("files"),
                     "sha256 = '" + sha256_hex(files_of(1)[0].bytes) + "'"}}) {
      const std::string whole =
          intruder.reads("SELECT " + column + " FROM " + table + " WHERE " + row + " LIMIT 1");
      REQUIRE(whole.size() > 20);
      const std::string put = "UPDATE " + table + " SET " + column + " = :value WHERE " + row;
      for (std::size_t at = 0; at < whole.size(); ++at) {
        std::string altered = whole;
        altered[at] = altered[at] == 'A' ? 'B' : 'A';
        intruder.writes(put, altered);
        CAPTURE(at);
        CHECK(fault_of(path));
      }
      intruder.writes(put, whole);
      CHECK_FALSE(fault_of(path));
    }
  }

  TEST_CASE(
      "a row taken out, put elsewhere or squeezed in is found; one cut off at the end by a seal alone") {
    const TempFolder folder;
    const std::string path = folder.path_of("ledger.db");
    const Store store = made_ledger(path, 4);
    const TreeHead seal = verify_ledger(store, {}).head;
    CHECK(read_seal(seal_text(seal)) == seal);
    CHECK_FALSE(fault_of(path, {seal}));
    Intruder intruder(path);
    intruder.does("UPDATE entries SET number = 99 WHERE number = 2");
    CHECK(fault_of(path)->key == "ledger_fault_number");
    intruder.does("UPDATE entries SET number = 2 WHERE number = 99");
    intruder.does(
        "UPDATE entries SET number = CASE number WHEN 2 THEN -3 WHEN 3 THEN -2 END WHERE number IN (2, 3)");
    intruder.does("UPDATE entries SET number = -number WHERE number < 0");
    CHECK(fault_of(path)->number == 2);
    intruder.does(
        "UPDATE entries SET number = CASE number WHEN 2 THEN -3 WHEN 3 THEN -2 END WHERE number IN (2, 3)");
    intruder.does("UPDATE entries SET number = -number WHERE number < 0");
    CHECK_FALSE(fault_of(path, {seal}));
    intruder.does("DELETE FROM entries WHERE number = 4");
    intruder.does(
        "DELETE FROM files WHERE packed LIKE '%' AND sha256 NOT IN (SELECT sha256 FROM files LIMIT 0)");
    CHECK(fault_of(path)->key == "ledger_fault_file");
  }

  TEST_CASE("a ledger cut at its end is told by its seal") {
    const TempFolder folder;
    const std::string path = folder.path_of("ledger.db");
    TreeHead seal;
    {
      Store store = made_ledger(path, 2);
      add_entry(store, key_of_letter('k'), run_entry(9), {});
      seal = verify_ledger(store, {}).head;
    }
    Intruder(path).does("DELETE FROM entries WHERE number = 3");
    CHECK_FALSE(fault_of(path)); // nothing else can know
    CHECK(fault_of(path, {seal})->key == "ledger_fault_short");
  }

  TEST_CASE("a key that nobody let follow signs nothing, and one that follows does") {
    const TempFolder folder;
    const std::string path = folder.path_of("ledger.db");
    Store store = made_ledger(path, 1);
    const SigningKey stranger = key_of_letter('s');
    CHECK(says(refused([&] { return add_entry(store, stranger, run_entry(2), {}); }), "not the one"));
    add_succession(store, key_of_letter('k'), stranger, first_entry(), "the old computer is gone");
    add_entry(store, stranger, run_entry(2), files_of(2));
    const LedgerCheck check = verify_ledger(store, {});
    CHECK_FALSE(check.fault);
    CHECK(check.keys.size() == 2);
    CHECK(
        says(refused([&] { return add_entry(store, key_of_letter('k'), run_entry(3), {}); }), "not the one"));
  }

  TEST_CASE("an entry refers to what is there") {
    const TempFolder folder;
    Store store = made_ledger(folder.path_of("ledger.db"), 1);
    Entry review = run_entry(1);
    review.kind = EntryKind::review;
    review.refers_to = {sha256("nothing of ours")};
    CHECK(
        says(refused([&] { return add_entry(store, key_of_letter('k'), review, {}); }), "not in the ledger"));
    review.refers_to = {leaf_hash(store.row(1)->leaf)};
    CHECK(add_entry(store, key_of_letter('k'), review, {}) == 2);
    CHECK_FALSE(verify_ledger(store, {}).fault);
  }

  TEST_CASE("a file that is no ledger, or none, is refused") {
    const TempFolder folder;
    CHECK(says(refused([&] { return Store::open(folder.path_of("none.db")); }), "no such ledger"));
    const std::string text =
        folder.write("text.db", "this is a text and no database at all, and long enough for one page");
    CHECK(says(refused([&] { return Store::open(text); }), "text.db"));
    const std::string path = folder.path_of("ledger.db");
    (void)made_ledger(path, 1);
    CHECK(says(refused([&] { return Store::make(path); }), "there already"));
  }
}
