// What goes with an exported run: the script and the README, on entries that were stated about it later.
#include "report/export_text.h"

#include "cli/write_folder.h"
#include "records/made_entry.h"
#include "records/made_keys.h"
#include "report/layout.h"
#include "support/temp_folder.h"

#include <doctest/doctest.h>

#include <cstdlib>
#include <sstream>

using namespace coldbag;
using namespace coldbag::test;

namespace {

/// An invented run that was reviewed; the review has a file.
Exported made_export(const TempFolder& folder) {
  const SigningKey key = key_of_letter('k');
  Store store = Store::make(folder.path_of("ledger"));
  Entry entry = made_entry();
  entry.content = R"({"run":"invented"})";
  entry.refers_to.clear();
  begin_ledger(store, key, entry);
  add_entry(store, key, entry, {{"log.csv", "a,b\n"}, {"] \"q\".csv", ""}});
  entry.kind = EntryKind::review;
  entry.who = {"Boris Example", Meaning::review};
  entry.refers_to = {leaf_hash(store.row(1)->leaf)};
  add_entry(store, key, entry, {{"photo.jpg", "bags"}});
  return exported(store, 1);
}

/// What check.sh in the folder says; its status is 0 where all holds.
std::string said_in(const TempFolder& folder, const std::string& name, bool holds) {
  const std::string command =
      "sh '" + folder.path_of(name) + "/check.sh' >'" + folder.path_of("said") + "' 2>&1";
  CHECK((std::system(command.c_str()) == 0) == holds);
  return folder.read("said");
}

std::size_t count_of(const std::string& text, const std::string& part) {
  std::size_t count = 0;
  for (std::size_t at = text.find(part); at != std::string::npos; at = text.find(part, at + 1))
    ++count;
  return count;
}

const Words& english() {
  static const Words words = Words::read(TableFiles::built_in(), "en");
  return words;
}

} // namespace

TEST_SUITE("what goes with an export") {
  TEST_CASE("the script checks the run and each entry about it, with their files") {
    const TempFolder folder;
    std::vector<KeptFile> files = made_export(folder).files;
    files.push_back({"check.sh", export_script(english(), TableFiles::built_in())});
    write_new_folder(folder.path_of("run"), with_sums(files));
    const std::string said = said_in(folder, "run", true);
    CHECK(count_of(said, "holds: ") == 6);
    for (KeptFile& file : files)
      if (file.name == "about/2/files/photo.jpg") file.bytes = "bagz";
    write_new_folder(folder.path_of("other"), with_sums(files)); // whose sums are right
    const std::string wrong = said_in(folder, "other", false);
    CHECK(count_of(wrong, "holds: ") == 5);
    CHECK(wrong.find("NOT SO: the kept files are those of the entry about/2") != std::string::npos);
  }

  TEST_CASE("the script has its words in every place, and none breaks out of its quotes") {
    for (const char* language : {"en", "es"}) {
      const std::string script =
          export_script(Words::read(TableFiles::built_in(), language), TableFiles::built_in());
      CHECK(script.find("@export") == std::string::npos);
      CHECK(count_of(script, "'") % 2 == 0);
    }
  }

  TEST_CASE("no line of the README is over 80 columns, in any language") {
    const TempFolder folder;
    const Exported from = made_export(folder);
    for (const char* language : {"en", "es"}) {
      std::istringstream lines(export_readme(from, Words::read(TableFiles::built_in(), language)));
      std::size_t count = 0;
      for (std::string line; std::getline(lines, line); ++count)
        CHECK_MESSAGE(screen_length(line) <= columns_of_screen, line);
      CHECK(count > 50);
    }
  }

  TEST_CASE("the paper tells who stated what about the run later") {
    const TempFolder folder;
    const Exported from = made_export(folder);
    bool is_there = false;
    for (const Block& block : in_ledger_blocks(from, english()))
      if (const auto* told = std::get_if<Item>(&block))
        is_there = is_there || told->text == "entry 2, 2026-03-08: review, by Boris Example (looked it over)";
    CHECK(is_there);
  }
}
