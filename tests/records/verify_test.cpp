// A ledger, and what is done to it behind its back: every change is found, and where.
#include "records/verify.h"

#include "records/ledger_json.h"
#include "records/ledger_place.h"
#include "records/made_ledger.h"
#include "records/refused.h"
#include "support/temp_folder.h"

#include <doctest/doctest.h>

using namespace coldbag;
using namespace coldbag::test;

TEST_SUITE("a ledger") {
  TEST_CASE("what was added is there, in order, and verifies") {
    const LedgerPlace place;
    const Store store = made_ledger(place.where(), 5);
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
    const LedgerPlace place;
    const Store store = made_ledger(place.where(), 2);
    soci::session sql = other_program(place.where());
    const std::string a_row = "'l', 'i', 'r', 'f', 's', 'k', 'run', '', '', '', '', 0, 0)";
    std::vector<std::string> statements{
        "UPDATE entries SET leaf = 'x'",           "DELETE FROM entries WHERE number = 2",
        "UPDATE files SET packed = 'x'",           "DELETE FROM files",
        "INSERT INTO entries VALUES (7, " + a_row, "INSERT INTO entries VALUES (-1, " + a_row};
    if (is_on_postgresql())
      statements.insert(
          statements.end(),
          {"TRUNCATE entries", "TRUNCATE files",
           "INSERT INTO files SELECT * FROM files ON CONFLICT (sha256) DO UPDATE SET packed = 'x'"});
    else
      statements.insert(statements.end(),
                        {"INSERT OR REPLACE INTO entries SELECT * FROM entries WHERE number = 1",
                         "INSERT OR REPLACE INTO files SELECT * FROM files"});
    for (const std::string& statement : statements) {
      CAPTURE(statement);
      CHECK_THROWS_AS(sql << statement, soci::soci_error);
    }
    CHECK_FALSE(fault_of(store));
  }

  TEST_CASE("a key that nobody let follow signs nothing, and one that follows does") {
    const LedgerPlace place;
    Store store = made_ledger(place.where(), 1);
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

  TEST_CASE("a key follows one that was lost, and whoever verifies is told from which entry on") {
    const LedgerPlace place;
    Store store = made_ledger(place.where(), 1);
    const SigningKey other = key_of_letter('o');
    CHECK(verify_ledger(store, {}).lost.empty());
    CHECK(add_lost_key(store, other, first_entry(), "the disk broke") == 2);
    add_entry(store, other, run_entry(2), files_of(2));
    const LedgerCheck check = verify_ledger(store, {});
    CHECK_FALSE(check.fault);
    CHECK(check.lost == std::vector<std::uint64_t>{2});
    CHECK(check.keys == std::vector{key_of_letter('k').public_key(), other.public_key()});
    CHECK(
        says(refused([&] { return add_entry(store, key_of_letter('k'), run_entry(3), {}); }), "not the one"));
  }

  TEST_CASE("what is said of one lost key holds for no other") {
    const PublicKey lost = key_of_letter('l').public_key();
    const PublicKey next = key_of_letter('n').public_key();
    const PublicKey other = key_of_letter('o').public_key();
    Entry entry = first_entry();
    entry.kind = EntryKind::key;
    entry.content = lost_key_content(lost, next, "why");
    CHECK(says_lost(entry, lost, next));
    CHECK_FALSE(says_lost(entry, other, next));
    CHECK_FALSE(says_lost(entry, lost, other));
    entry.kind = EntryKind::review;
    CHECK_FALSE(says_lost(entry, lost, next));
    entry.kind = EntryKind::key;
    entry.content = first_content("", next);
    CHECK_FALSE(says_lost(entry, lost, next));
  }

  TEST_CASE("an entry refers to what is there") {
    const LedgerPlace place;
    Store store = made_ledger(place.where(), 1);
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
    CHECK(folder.read("text.db").starts_with("this is a text"));
  }

  TEST_CASE("a ledger is not made where one is, nor opened where none is") {
    const LedgerPlace place;
    CHECK(says(refused([&] { return Store::open(place.where()); }), "no"));
    const Store store = made_ledger(place.where(), 1);
    CHECK(says(refused([&] { return Store::make(place.where()); }), "already"));
    CHECK_FALSE(fault_of(store));
  }

  TEST_CASE("what others add while a ledger is verified is no fault of it") {
    const LedgerPlace place;
    const Store store = made_ledger(place.where(), 3);
    Store other = Store::open(place.where());
    int n = 3;
    const LedgerCheck check = verify_ledger(store, {}, [&](std::uint64_t, const Entry&) {
      ++n;
      add_entry(other, key_of_letter('k'), run_entry(n), files_of(n));
      return "";
    });
    CHECK_FALSE(check.fault);
    CHECK(check.entries == 4);
    CHECK(verify_ledger(store, {}).entries == 8);
  }

  TEST_CASE("letters of every kind come back as they were given") {
    const LedgerPlace place;
    Store store = made_ledger(place.where(), 0);
    Entry entry = run_entry(1);
    entry.content = "{\"run\":\"zero \\u0000 ñ 蘑菇 😀 ' \\\" \\\\ :name %s $1\",\"vessel\":\"\"}";
    entry.who.name = "Ana Example ñ 蘑";
    add_entry(store, key_of_letter('k'), entry, {{"log.csv", std::string("\0\xff\xfe", 3)}, {"empty", ""}});
    CHECK_FALSE(fault_of(store));
    const Entry kept = entry_of(*store.row(1));
    CHECK(kept.content == entry.content);
    CHECK(kept.who.name == entry.who.name);
    CHECK(file_bytes(store, kept.attachments[0]) == std::string("\0\xff\xfe", 3));
    CHECK(store.list({}).size() == 2);
  }

  TEST_CASE("a name as long as a page is kept and found") {
    const LedgerPlace place;
    Store store = made_ledger(place.where(), 0);
    std::string name; // not to be made shorter by a database
    for (int n = 0; name.size() < 10000; ++n)
      name += sha256_hex(std::to_string(n));
    Entry entry = run_entry(1);
    entry.content = R"({"run":")" + name + R"("})";
    add_entry(store, key_of_letter('k'), entry, {});
    CHECK_FALSE(fault_of(store));
    RowFilter filter;
    filter.run = name;
    CHECK(store.list(filter).size() == 1);
  }
}
