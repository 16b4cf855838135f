// Runs brought from another ledger: they keep its proof, and a proof that does not hold is found.
#include "records/import.h"

#include "records/entry_json.h"
#include "records/export.h"
#include "records/history.h"
#include "records/made_entry.h"
#include "records/made_keys.h"
#include "records/refused.h"
#include "records/run_entry_json.h"
#include "records/verify.h"
#include "support/temp_folder.h"

#include <doctest/doctest.h>

#include <algorithm>

using namespace coldbag;
using namespace coldbag::test;

namespace {

Entry plain_entry() {
  Entry entry = made_entry();
  entry.refers_to.clear();
  return entry;
}

Entry run_entry(int n) {
  Entry entry = plain_entry();
  RunContent content;
  content.run = "invented-" + std::to_string(n);
  content.vessel = "room";
  content.treatment = "sterilize";
  content.verdict = n % 2 == 0 ? "pass" : "fail";
  content.report = R"({"coldest":{"probe":"core","F_minutes":)" + std::to_string(n) + "}}";
  entry.content = run_content_json(content);
  entry.event_at.at += std::chrono::hours(24 * n);
  entry.entered_at.at += std::chrono::hours(24 * n);
  return entry;
}

std::vector<KeptFile> files_of(int n) {
  return {{"log.csv", "reading " + std::to_string(n)}, {"imported-entry.json", "a name of theirs"}};
}

Store made_ledger(const std::string& path, char key, int first, int runs) {
  Store store = Store::make(path);
  begin_ledger(store, key_of_letter(key), plain_entry());
  for (int n = first; n < first + runs; ++n)
    add_entry(store, key_of_letter(key), run_entry(n), files_of(n));
  return store;
}

Entry importer() {
  Entry by = plain_entry();
  by.entered_at.at += std::chrono::hours(24 * 400);
  by.who.name = "Boris Example";
  return by;
}

/// The fault of a ledger into which this content was brought as an import, with the files of a true one.
std::string fault_of(const TempFolder& folder, const std::string& name, ImportContent content,
                     std::vector<KeptFile> files) {
  Store store = made_ledger(folder.path_of(name), 'm', 0, 0);
  Entry entry = importer();
  entry.kind = EntryKind::imported;
  entry.event_at = run_entry(1).event_at;
  entry.content = import_content_json(content);
  add_entry(store, key_of_letter('m'), entry, files);
  const auto fault = verify_ledger(store, {}).fault;
  return fault ? fault->key + ": " + fault->detail : "";
}

} // namespace

TEST_SUITE("an import") {
  TEST_CASE("brings every run with its files, and shows it as a run of its farm") {
    const TempFolder folder;
    const Store from = made_ledger(folder.path_of("from"), 'f', 1, 45);
    Store to = made_ledger(folder.path_of("to"), 't', 100, 1);
    const Imported first = import_ledger(from, to, key_of_letter('t'), importer());
    CHECK(first.added == 45);
    CHECK(first.there == 0);
    CHECK_FALSE(verify_ledger(to, {}).fault);
    const History history = read_history(to);
    REQUIRE(history.runs.size() == 46);
    const KeptRun& run = history.runs[2];
    CHECK(run.is_imported);
    CHECK_FALSE(history.runs[0].is_imported);
    CHECK(run.content.run == "invented-2");
    CHECK(run.content.report == R"({"coldest":{"F_minutes":2,"probe":"core"}})");
    CHECK(run.event_at == run_entry(2).event_at);
    CHECK(run.who.name == "Boris Example");
    RowFilter filter;
    filter.kind = "import";
    filter.verdict = "fail";
    filter.vessel = "room";
    CHECK(to.list(filter).size() == 23);
    const auto log = std::ranges::find(run.attachments, "log.csv", &Attachment::name);
    REQUIRE(log != run.attachments.end());
    CHECK(file_bytes(to, *log) == "reading 2");
    CHECK(run_leaf(to, *to.row(run.number)) == from.row(2)->leaf);
  }

  TEST_CASE("adds what is new, and nothing twice, not even its own runs") {
    const TempFolder folder;
    Store from = made_ledger(folder.path_of("from"), 'f', 1, 2);
    Store to = made_ledger(folder.path_of("to"), 't', 1, 0);
    (void)import_ledger(from, to, key_of_letter('t'), importer());
    add_entry(from, key_of_letter('f'), run_entry(3), files_of(3));
    const Imported again = import_ledger(from, to, key_of_letter('t'), importer());
    CHECK(again.added == 1);
    CHECK(again.there == 2);
    const Imported own = import_ledger(from, from, key_of_letter('f'), importer());
    CHECK(own.added == 0);
    CHECK(own.there == 3);
    CHECK(import_run(foreign_run(exported(from, 1).files), to, key_of_letter('t'), importer()).there == 1);
    CHECK_FALSE(verify_ledger(to, {}).fault);
  }

  TEST_CASE("takes an export, and refuses one in which a byte of what counts was changed") {
    const TempFolder folder;
    const Store from = made_ledger(folder.path_of("from"), 'f', 1, 3);
    Store to = made_ledger(folder.path_of("to"), 't', 100, 1);
    const std::vector<KeptFile> files = exported(from, 2).files;
    for (std::size_t i = 0; i < files.size(); ++i) {
      std::vector<KeptFile> changed = files;
      changed[i].bytes[changed[i].bytes.size() / 2] ^= 1;
      CHECK_MESSAGE(!refused([&] { return foreign_run(changed); }).empty(), files[i].name);
      changed.erase(changed.begin() + static_cast<std::ptrdiff_t>(i));
      CHECK_MESSAGE(says(refused([&] { return foreign_run(changed); }), files[i].name), files[i].name);
    }
    CHECK(import_run(foreign_run(files), to, key_of_letter('t'), importer()).added == 1);
    CHECK_FALSE(verify_ledger(to, {}).fault);
    CHECK(read_history(to).runs.back().content.run == "invented-2");
    // An imported run is handed out as what it is, and not imported once more from there.
    CHECK(says(refused([&] { return foreign_run(exported(to, 2).files); }), "is of no run"));
  }

  TEST_CASE("whose proof, signature, entry or files do not hold is found when the ledger is verified") {
    const TempFolder folder;
    const Store from = made_ledger(folder.path_of("from"), 'f', 1, 3);
    Store to = made_ledger(folder.path_of("to"), 't', 100, 0);
    (void)import_ledger(from, to, key_of_letter('t'), importer());
    const Entry entry = read_entry("entry", to.row(1)->leaf);
    const ImportContent whole = read_import_content("entry", entry.content);
    std::vector<KeptFile> files;
    for (const Attachment& file : entry.attachments)
      files.push_back({file.name, file_bytes(to, file)});
    CHECK(fault_of(folder, "whole", whole, files).empty());

    ImportContent lie = whole;
    lie.verdict = "pass";
    CHECK(says(fault_of(folder, "a", lie, files), "of another run"));
    lie = whole;
    lie.signature.bytes[3] ^= 1;
    CHECK(says(fault_of(folder, "b", lie, files), "signature is not of the foreign ledger"));
    lie = whole;
    lie.key = key_of_letter('m').public_key();
    CHECK(says(fault_of(folder, "c", lie, files), "signature is not of the foreign ledger"));
    lie = whole;
    const Entry other = read_entry("entry", to.row(2)->leaf);
    lie.proof = read_import_content("entry", other.content).proof;
    CHECK(says(fault_of(folder, "d", lie, files), "not the one that the proof is of"));
    lie = whole;
    lie.leaf = "log.csv";
    CHECK(says(fault_of(folder, "e", lie, files), "not the one that the proof is of"));
    lie.leaf = "none";
    CHECK(says(fault_of(folder, "f", lie, files), "is not kept"));
    std::vector<KeptFile> fewer = files;
    std::erase_if(fewer, [](const KeptFile& file) { return file.name == "log.csv"; });
    CHECK(says(fault_of(folder, "g", whole, fewer), "is not kept: log.csv"));
    std::vector<KeptFile> changed = files;
    changed[0].bytes = "reading 9";
    CHECK(says(fault_of(folder, "h", whole, changed), "is not kept: log.csv"));
  }
}
