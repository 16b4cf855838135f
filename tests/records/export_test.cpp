// What leaves a ledger: names, bytes, proofs under one head.
#include "records/export.h"

#include "records/ledger_json.h"
#include "records/made_entry.h"
#include "records/made_keys.h"
#include "records/proof_text.h"
#include "records/public_key.h"
#include "records/refused.h"
#include "records/zip.h"
#include "support/temp_folder.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <set>

using namespace coldbag;
using namespace coldbag::test;

namespace {

Entry entry_of_kind(EntryKind kind, std::vector<EntryId> refers_to) {
  Entry entry = made_entry();
  entry.kind = kind;
  entry.content = R"({"run":"invented"})";
  entry.refers_to = std::move(refers_to);
  return entry;
}

EntryId id_at(const Store& store, std::uint64_t number) {
  return leaf_hash(store.row(number)->leaf);
}

/// A run, two that are about it (one by way of the other), another run with its own review.
Store made_ledger(const std::string& path, const std::vector<KeptFile>& files) {
  const SigningKey key = key_of_letter('k');
  Store store = Store::make(path);
  begin_ledger(store, key, entry_of_kind(EntryKind::key, {}));
  add_entry(store, key, entry_of_kind(EntryKind::run, {}), files);
  Entry other = entry_of_kind(EntryKind::run, {});
  other.content = R"({"run":"another"})";
  add_entry(store, key, other, {});
  add_entry(store, key, entry_of_kind(EntryKind::deviation, {id_at(store, 1)}), {{"photo.jpg", "burst"}});
  add_entry(store, key, entry_of_kind(EntryKind::review, {id_at(store, 2)}), {});
  add_entry(store, key, entry_of_kind(EntryKind::corrective_action, {id_at(store, 3)}), {});
  return store;
}

std::string file_of(const Exported& from, const std::string& name) {
  const auto found = std::ranges::find(from.files, name, &KeptFile::name);
  REQUIRE_MESSAGE(found != from.files.end(), name);
  return found->bytes;
}

} // namespace

TEST_SUITE("an export") {
  TEST_CASE(
      "holds the run with its files, and all that is about it, each proved under the same signed head") {
    const TempFolder folder;
    const std::string bytes("\0\r\n\xFF not text", 13);
    const Store store = made_ledger(folder.path_of("l"), {{"log.csv", bytes}});
    const Exported from = exported(store, 1);
    CHECK(from.head.size == 6);
    CHECK(file_of(from, "files/log.csv") == bytes);
    CHECK(file_of(from, "about/3/files/photo.jpg") == "burst");
    std::vector<std::uint64_t> about;
    for (const ProvedEntry& entry : from.about)
      about.push_back(entry.number);
    CHECK(about == std::vector<std::uint64_t>{3, 5});
    for (const std::string at : {"", "about/3/", "about/5/"}) {
      const auto proof = read_proof_text(file_of(from, at + "proof.txt"));
      REQUIRE(proof);
      CHECK(proof->head == from.head);
      CHECK(proof->leaf == leaf_hash(file_of(from, at + "entry.json")));
    }
    CHECK(file_of(from, "head.json") == head_statement(from.head));
    Signature signature;
    std::ranges::copy(file_of(from, "head.sig"), signature.bytes.begin());
    CHECK(is_signed_by(read_public_key_pem("key.pem", file_of(from, "key.pem")), file_of(from, "head.json"),
                       signature));
  }

  TEST_CASE("names of kept files can neither stand in for its own nor for each other") {
    const TempFolder folder;
    const std::vector<KeptFile> hostile{
        {"entry.json", "1"}, {"sha256sums", "2"},         {"-rf", "3"},     {"$(id).csv", "4"},
        {"a b\"'.csv", "5"}, {"],\"content\":x", "6"},    {".hidden", "7"}, {"*", "8"},
        {"{\"name\":", "9"}, {"\xC3\xB1 \xC3\xBA", "10"}, {"a;b", "11"},    {"files", "12"}};
    const Exported from = exported(made_ledger(folder.path_of("l"), hostile), 1);
    std::set<std::string> names;
    for (const KeptFile& file : from.files)
      CHECK(names.insert(file.name).second);
    for (const KeptFile& file : hostile)
      CHECK(file_of(from, "files/" + file.name) == file.bytes);
    CHECK(file_of(from, "entry.json") != "1");
    Store store = Store::open(folder.path_of("l"));
    const SigningKey key = key_of_letter('k');
    for (const std::string name : {"../up", "a/b", "..", "", "a\nb", "a\\b"})
      CHECK(says(refused([&] {
                   return add_entry(store, key, entry_of_kind(EntryKind::run, {}), {{name, ""}});
                 }),
                 "no name of a file"));
  }

  TEST_CASE("sums are those that sha256sum reads") {
    const auto files = with_sums({{"a", "abc"}, {"files/b", ""}});
    REQUIRE(files.size() == 3);
    CHECK(files[2].name == "sha256sums");
    // FIPS 180-4: SHA-256 of "abc" and of nothing.
    CHECK(files[2].bytes == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad  a\n"
                            "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855  files/b\n");
  }

  TEST_CASE("what is no run has none") {
    const TempFolder folder;
    const Store store = made_ledger(folder.path_of("l"), {});
    for (const std::uint64_t number : {std::uint64_t{0}, std::uint64_t{3}, std::uint64_t{6}})
      CHECK(says(refused([&] { return exported(store, number); }), "is no run"));
  }

  TEST_CASE("a zip begins and ends as one") {
    const std::string zip = zip_bytes("run", {{"a", "abc"}, {"files/b", ""}}, Instant{});
    CHECK(zip.starts_with("PK\x03\x04"));
    CHECK(zip.find("run/files/b") != std::string::npos);
    CHECK(zip_bytes("run", {{"files/ñandú 1.csv", "abc"}}, Instant{}).find("run/files/ñandú 1.csv") !=
          std::string::npos);
    CHECK(zip.find("PK\x05\x06") != std::string::npos);
  }
}
