#include "tables/edition.h"

#include "errors/our_fault.h"
#include "errors/user_error.h"
#include "tables/built_in.h"

#include <doctest/doctest.h>

#include <unistd.h>

#include <algorithm>
#include <filesystem>
#include <fstream>

using namespace coldbag;

namespace {

namespace fs = std::filesystem;

/// A folder of its own that goes with the test.
class Folder {
 public:
  explicit Folder(const std::string& name)
      : path_(fs::temp_directory_path() / (name + std::to_string(getpid()))) {
    fs::create_directory(path_);
  }
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;
  Folder(Folder&&) = delete;
  Folder& operator=(Folder&&) = delete;
  ~Folder() {
    std::error_code ignored;
    fs::remove_all(path_, ignored);
  }
  void write(const std::string& name, std::string_view bytes) const {
    std::ofstream(path_ / name, std::ios::binary) << bytes;
  }
  [[nodiscard]] std::string text() const { return path_.string(); }

 private:
  fs::path path_;
};

Trouble trouble_of_opening(const std::string& folder) {
  try {
    static_cast<void>(TableFiles::open(folder));
  } catch (const UserError& error) {
    return error.trouble();
  }
  return Trouble{};
}

const Edition& edition_of(const std::vector<Edition>& editions, const std::string& name) {
  return *std::ranges::find(editions, name, &Edition::name);
}

} // namespace

TEST_CASE("the tables built in are those of shared/, byte for byte") {
  const TableFiles files = TableFiles::built_in();
  std::size_t in_folder = 0;
  std::size_t of_results = 0;
  for (const fs::directory_entry& entry : fs::directory_iterator(COLDBAG_SOURCE_DIR "/shared")) {
    const std::string extension = entry.path().extension().string();
    if (extension == ".md") continue;
    ++in_folder;
    std::ifstream file(entry.path(), std::ios::binary);
    const std::string bytes(std::istreambuf_iterator<char>(file), {});
    const std::string name = entry.path().filename().string();
    CHECK(files.bytes(name) == bytes);
    CHECK(files.source_name(name) == "built-in " + name);
    if (extension != ".csv" && extension != ".toml") continue;
    ++of_results;
    CHECK(edition_of(files.editions(), name).origin == "built in");
  }
  CHECK(in_folder == built_in_tables().size());
  CHECK(of_results < in_folder);
  CHECK(files.editions().size() == of_results);
}

TEST_CASE("a folder given comes before the copies built in, table by table") {
  const Folder folder("coldbag_tables_");
  folder.write("films.csv", "mine");
  const TableFiles files = TableFiles::open(folder.text());
  CHECK(files.bytes("films.csv") == "mine");
  CHECK(files.source_name("films.csv") == folder.text() + "/films.csv");
  CHECK(edition_of(files.editions(), "films.csv").sha256 == sha256_hex("mine"));
  CHECK(files.bytes("organisms.csv") == TableFiles::built_in().bytes("organisms.csv"));
}

TEST_CASE("a folder that is not there, or holds no table, is the user's to mend") {
  const Folder folder("coldbag_no_tables_");
  CHECK(trouble_of_opening(folder.text()) == Trouble::no_input);
  CHECK(trouble_of_opening(folder.text() + "/nowhere") == Trouble::no_input);
  folder.write("films.csv", "mine");
  CHECK(trouble_of_opening(folder.text()) == Trouble{});
  CHECK(trouble_of_opening(folder.text() + "/films.csv") == Trouble::no_input);
}

TEST_CASE("a folder in the place of a table cannot be read") {
  const Folder folder("coldbag_folder_table_");
  fs::create_directory(fs::path(folder.text()) / "films.csv");
  CHECK(trouble_of_opening(folder.text()) == Trouble::no_input);
}

TEST_CASE("to ask for a table that is in none of the places is our fault") {
  CHECK_THROWS_AS(static_cast<void>(TableFiles::built_in().bytes("moons.csv")), OurFault);
}
