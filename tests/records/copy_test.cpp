// A ledger copied as it is, in parts, and never onto another one.
#include "records/copy.h"

#include "records/ledger.h"
#include "records/made_entry.h"
#include "records/made_keys.h"
#include "records/refused.h"
#include "records/verify.h"
#include "support/temp_folder.h"

#include <doctest/doctest.h>

using namespace coldbag;
using namespace coldbag::test;

namespace {

Entry entry_of(int n) {
  Entry entry = made_entry();
  entry.content = R"({"run":"invented-)" + std::to_string(n) + "\"}";
  entry.refers_to.clear();
  return entry;
}

void add_runs(Store& store, char key, int from, int to) {
  for (int n = from; n < to; ++n)
    add_entry(store, key_of_letter(key), entry_of(n),
              {{"log.csv", "reading " + std::to_string(n)}, {"farm.toml", "the same"}});
}

Store made_ledger(const std::string& path, char key, int runs) {
  Store store = Store::make(path);
  begin_ledger(store, key_of_letter(key), entry_of(0));
  add_runs(store, key, 1, runs + 1);
  return store;
}

} // namespace

TEST_SUITE("a copy of a ledger") {
  TEST_CASE("is the same row by row and whole, in parts too") {
    const TempFolder folder;
    const Store from = made_ledger(folder.path_of("from"), 'k', 230); // more than two parts
    Store to = Store::make(folder.path_of("to"));
    const Copied copied = copy_ledger(from, to);
    CHECK(copied.there == 0);
    CHECK(copied.added == 231);
    const LedgerCheck first = verify_ledger(from, {});
    const LedgerCheck second = verify_ledger(to, {first.head});
    CHECK_FALSE(second.fault);
    CHECK(second.head == first.head);
    CHECK(second.files == first.files);
    for (std::uint64_t n = 0; n < from.size(); ++n)
      CHECK(from.row(n) == to.row(n));
    CHECK(from.list({}) == to.list({}));
    CHECK(from.file_hashes() == to.file_hashes());
    for (const Sha256& hash : from.file_hashes())
      CHECK(from.file(hash) == to.file(hash));
  }

  TEST_CASE("goes on where it was left, and has nothing to add the second time") {
    const TempFolder folder;
    Store from = made_ledger(folder.path_of("from"), 'k', 3);
    Store to = Store::make(folder.path_of("to"));
    (void)copy_ledger(from, to);
    add_runs(from, 'k', 4, 6);
    const Copied more = copy_ledger(from, to);
    CHECK(more.there == 4);
    CHECK(more.added == 2);
    CHECK(copy_ledger(from, to).added == 0);
    CHECK_FALSE(verify_ledger(to, {}).fault);
    // The copy can be added to, with the same key; from then on it is another one.
    add_runs(to, 'k', 90, 91);
    add_runs(from, 'k', 91, 92);
    CHECK(says(refused([&] { return copy_ledger(from, to); }), "not how the other one begins"));
    CHECK(to.size() == 7);
  }

  TEST_CASE("is refused where the other is another one, or longer") {
    const TempFolder folder;
    const Store from = made_ledger(folder.path_of("from"), 'k', 2);
    Store other = made_ledger(folder.path_of("other"), 'o', 1);
    CHECK(says(refused([&] { return copy_ledger(from, other); }), "not how the other one begins"));
    CHECK(other.size() == 2);
    Store longer = Store::make(folder.path_of("longer"));
    (void)copy_ledger(from, longer);
    add_runs(longer, 'k', 3, 4);
    CHECK(says(refused([&] { return copy_ledger(from, longer); }), "not how the other one begins"));
  }
}
