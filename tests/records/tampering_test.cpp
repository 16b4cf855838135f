// What is done to a ledger behind its back: every change is found, and where.
#include "records/ledger_place.h"
#include "records/made_ledger.h"
#include "records/verify.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <random>
#include <vector>

using namespace coldbag;
using namespace coldbag::test;

namespace {

constexpr int runs = 19; // twenty entries
const std::vector<std::string> text_columns{"leaf", "id",  "root",   "frontier",  "signature", "signed_by",
                                            "kind", "run", "vessel", "treatment", "verdict"};

/// A cell that is altered: where, and what is read and written of it.
struct Cell {
  std::string table, column, row;

  [[nodiscard]] std::string read() const { return "SELECT " + column + " FROM " + table + " WHERE " + row; }
  [[nodiscard]] std::string write() const {
    return "UPDATE " + table + " SET " + column + " = :value WHERE " + row;
  }
};

std::string numbered(int number) {
  return "number = " + std::to_string(number);
}

std::string hashed(const KeptFile& file) {
  return "sha256 = '" + sha256_hex(file.bytes) + "'";
}

std::vector<Cell> cells_of_entry(int number) {
  std::vector<Cell> cells;
  for (const std::string& column : text_columns)
    cells.push_back({"entries", column, numbered(number)});
  if (number > 0)
    for (const char* column : {"packed", "packed_sha256"})
      cells.push_back({"files", column, hashed(files_of(number)[0])});
  return cells;
}

/// Another letter that a text may hold.
char other_letter(char c, std::mt19937& random) {
  constexpr std::array<unsigned, 3> flips{1U, 2U, 0x20U}; // the last turns small letters to large ones
  const unsigned flip = flips[random() % flips.size()];
  const auto other = static_cast<char>(static_cast<unsigned char>(c) ^ flip);
  if (other >= ' ' && other <= '~') return other;
  return c == 'A' ? 'B' : 'A';
}

void check_altered(Intruder& intruder, const Store& store, const Cell& cell, const std::string& whole,
                   std::size_t at, std::mt19937& random) {
  std::string altered = whole;
  altered[at] = other_letter(whole[at], random);
  intruder.writes(cell.write(), altered);
  CAPTURE(cell.column);
  CAPTURE(cell.row);
  CAPTURE(altered);
  CHECK(fault_of(store));
}

} // namespace

TEST_SUITE("a ledger") {
  TEST_CASE("every column of every row that is altered is found at its entry") {
    const LedgerPlace place;
    const Store store = made_ledger(place.where(), runs);
    Intruder intruder(place.where());
    const auto is_found = [&](const std::string& altering, int number) {
      intruder.does(altering);
      CAPTURE(altering);
      const auto fault = fault_of(store);
      REQUIRE(fault);
      CHECK(fault->number == static_cast<std::uint64_t>(number));
    };
    for (int number = 0; number <= runs; ++number) {
      for (const std::string& column : text_columns) {
        const std::string whole =
            intruder.reads("SELECT " + column + " FROM entries WHERE " + numbered(number));
        is_found("UPDATE entries SET " + column + " = " + column + " || '0' WHERE " + numbered(number),
                 number);
        intruder.writes("UPDATE entries SET " + column + " = :value WHERE " + numbered(number), whole);
      }
      for (const char* column : {"event_us", "entered_us"}) {
        is_found("UPDATE entries SET " + std::string(column) + " = " + column + " - 1 WHERE " +
                     numbered(number),
                 number);
        intruder.does("UPDATE entries SET " + std::string(column) + " = " + column + " + 1 WHERE " +
                      numbered(number));
      }
    }
    for (int number = 1; number <= runs; ++number) {
      const std::string row = hashed(files_of(number)[0]);
      for (const char* altering :
           {"sha256 = replace(sha256, substr(sha256, 1, 1), 'x')", "size_bytes = size_bytes + 1",
            "packed = packed || 'A'", "packed_sha256 = upper(packed_sha256)"}) {
        is_found("UPDATE files SET " + std::string(altering) + " WHERE " + row, number);
        intruder.restores();
      }
    }
    CHECK_FALSE(fault_of(store));
  }

  TEST_CASE("every letter of two entries and of their files counts, and those of the rest by chance") {
    const LedgerPlace place;
    const Store store = made_ledger(place.where(), runs);
    Intruder intruder(place.where());
    std::mt19937 random(20260308);
#ifdef COLDBAG_SANITIZED
    constexpr unsigned of_all = 30, of_rest = 500;
#else
    constexpr unsigned of_all = 1, of_rest = 50; // 2 in 100
#endif
    for (int number = 0; number <= runs; ++number)
      for (const Cell& cell : cells_of_entry(number)) {
        const std::string whole = intruder.reads(cell.read());
        const unsigned one_in = number == 1 || number == 11 ? of_all : of_rest;
        for (std::size_t at = 0; at < whole.size(); ++at)
          if (random() % one_in == 0) check_altered(intruder, store, cell, whole, at, random);
        intruder.writes(cell.write(), whole);
      }
    CHECK_FALSE(fault_of(store));
  }

  TEST_CASE("a row taken out is found where it stood, the last one by a seal alone") {
    const LedgerPlace place;
    const Store store = made_ledger(place.where(), runs);
    const TreeHead seal = verify_ledger(store, {}).head;
    Intruder intruder(place.where());
    for (int number = 0; number <= runs; ++number) {
      intruder.does("DELETE FROM entries WHERE " + numbered(number));
      if (number > 0) intruder.does("DELETE FROM files WHERE " + hashed(files_of(number)[0]));
      CAPTURE(number);
      if (number < runs)
        CHECK(fault_of(store)->number == static_cast<std::uint64_t>(number));
      else
        CHECK_FALSE(fault_of(store)); // nothing else can know
      CHECK(fault_of(store, {seal}));
      intruder.restores();
    }
    for (int number = 1; number <= runs; ++number) {
      intruder.does("DELETE FROM files WHERE " + hashed(files_of(number)[0]));
      CHECK(fault_of(store)->key == "ledger_fault_file");
      intruder.restores();
    }
    CHECK_FALSE(fault_of(store, {seal}));
  }

  TEST_CASE("rows that change places, wholly or in part, are found") {
    const LedgerPlace place;
    const Store store = made_ledger(place.where(), runs);
    Intruder intruder(place.where());
    for (int number = 0; number < runs; ++number) {
      const std::string here = std::to_string(number), next = std::to_string(number + 1);
      intruder.does("UPDATE entries SET number = -1 WHERE number = " + here);
      intruder.does("UPDATE entries SET number = " + here + " WHERE number = " + next);
      intruder.does("UPDATE entries SET number = " + next + " WHERE number = -1");
      CAPTURE(number);
      CHECK(fault_of(store)->number == static_cast<std::uint64_t>(number));
      intruder.restores();
      // Their leaves alone, with what can be worked out of them.
      for (const std::string column : {"leaf", "kind", "run", "event_us", "entered_us"})
        intruder.does("UPDATE entries SET " + column + " = (SELECT k." + column +
                      " FROM kept_entries k WHERE k.number = " + here + " + " + next + " - entries.number)" +
                      " WHERE number IN (" + here + ", " + next + ")");
      CHECK(fault_of(store)->number == static_cast<std::uint64_t>(number));
      intruder.restores();
    }
    CHECK_FALSE(fault_of(store));
  }

  TEST_CASE("a row or a file squeezed in is found") {
    const LedgerPlace place;
    const Store store = made_ledger(place.where(), runs);
    Intruder intruder(place.where());
    const std::string rest = ", root, frontier, signature, signed_by, kind, run, vessel, treatment, verdict, "
                             "event_us, entered_us FROM kept_entries WHERE number = 1";
    const std::string columns =
        "INSERT INTO entries (number, leaf, id, root, frontier, signature, signed_by, kind, "
        "run, vessel, treatment, verdict, event_us, entered_us) SELECT ";
    for (const int number : {-1, 5, runs + 1, runs + 7}) {
      if (number > 0) {
        intruder.does("UPDATE entries SET number = number + 100 WHERE number >= " + std::to_string(number));
        intruder.does("UPDATE entries SET number = number - 99 WHERE number >= 100");
      }
      intruder.does(columns + std::to_string(number) + ", leaf, 'another'" + rest);
      CAPTURE(number);
      CHECK(fault_of(store));
      intruder.restores();
    }
    intruder.does(
        "INSERT INTO files (sha256, size_bytes, packed, packed_sha256) SELECT packed_sha256, size_bytes, "
        "packed, sha256 FROM kept_files WHERE " +
        hashed(files_of(2)[0]));
    CHECK(fault_of(store)->key == "ledger_fault_stray_file");
    intruder.restores();
    CHECK_FALSE(fault_of(store));
  }

  TEST_CASE("a list that the database keeps beside the rows is looked at as well") {
    if (is_on_postgresql()) return; // it keeps none
    const LedgerPlace place;
    (void)made_ledger(place.where(), runs);
    Intruder intruder(place.where());
    for (const char* statement :
         {"CREATE TABLE other (number INTEGER PRIMARY KEY, kind TEXT, run TEXT, vessel TEXT, treatment TEXT, "
          "verdict TEXT, event_us INTEGER, entered_us INTEGER)",
          "INSERT INTO other SELECT number, kind, run, vessel, treatment, verdict, event_us, entered_us FROM "
          "entries",
          "UPDATE other SET verdict = 'FAIL' WHERE number = 7",
          "CREATE INDEX other_listed ON other (number, kind, run, vessel, treatment, verdict, event_us, "
          "entered_us)",
          "PRAGMA writable_schema=ON",
          "UPDATE sqlite_master SET rootpage = (SELECT rootpage FROM sqlite_master WHERE name = "
          "'other_listed') "
          "WHERE name = 'entries_listed'"})
      intruder.does(statement);
    const auto fault = fault_of(Store::open(place.where()));
    REQUIRE(fault);
    CHECK(fault->number == 7);
    CHECK(fault->key == "ledger_fault_subject");
  }

  TEST_CASE("a ledger cut at its end, or an older copy of it, is told by a seal alone") {
    const LedgerPlace place;
    const Store store = made_ledger(place.where(), runs);
    const TreeHead seal = verify_ledger(store, {}).head;
    CHECK(read_seal(seal_text(seal)) == seal);
    CHECK_FALSE(fault_of(store, {seal}));
    Intruder intruder(place.where());
    for (int number = runs; number > 0; --number) {
      intruder.does("DELETE FROM entries WHERE " + numbered(number));
      intruder.does("DELETE FROM files WHERE " + hashed(files_of(number)[0]));
      if (number == 1) intruder.does("DELETE FROM files");
      CAPTURE(number);
      CHECK_FALSE(fault_of(store));
      const LedgerCheck check = verify_ledger(store, {seal});
      REQUIRE(check.fault);
      CHECK(check.fault->key == "ledger_fault_short");
      CHECK(check.fault->number == static_cast<std::uint64_t>(number));
    }
  }
}
