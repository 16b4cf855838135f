// Folders and files that come into being whole or not at all.
#include "cli/write_folder.h"

#include "errors/user_error.h"
#include "support/temp_folder.h"

#include <doctest/doctest.h>

#include <filesystem>
#include <stdexcept>

using namespace coldbag;
using namespace coldbag::test;

namespace {

namespace fs = std::filesystem;

std::size_t count_in(const TempFolder& folder) {
  std::size_t count = 0;
  for (const fs::directory_entry& each : fs::directory_iterator(folder.path_of("")))
    count += each.exists() || each.is_symlink() ? 1U : 0U;
  return count;
}

} // namespace

TEST_CASE("a new folder holds its files bit for bit, and nothing is left beside it") {
  const TempFolder folder;
  write_new_folder(folder.path_of("new"),
                   {{"a", "1"}, {"files/-rf $(b)", std::string("\0\xFF", 2)}, {"files/c", ""}});
  CHECK(folder.read("new/a") == "1");
  CHECK(folder.read("new/files/-rf $(b)") == std::string("\0\xFF", 2));
  CHECK(fs::exists(folder.path_of("new/files/c")));
  write_new_folder(folder.path_of("with a slash/"), {{"a", "1"}});
  CHECK(folder.read("with a slash/a") == "1");
  CHECK(count_in(folder) == 2);
}

TEST_CASE("nothing that is there is written over, not even an empty folder or a link to nowhere") {
  const TempFolder folder;
  folder.write("file", "old");
  fs::create_directory(folder.path_of("folder"));
  fs::create_symlink(folder.path_of("nowhere"), folder.path_of("link"));
  for (const char* name : {"file", "folder", "link"}) {
    CHECK_THROWS_AS(write_new_folder(folder.path_of(name), {{"a", "1"}}), UserError);
    CHECK_THROWS_AS(write_whole_file(folder.path_of(name), "new"), UserError);
  }
  CHECK(folder.read("file") == "old");
  CHECK(count_in(folder) == 3);
}

TEST_CASE("what came while it was written is not written over either") {
  const TempFolder folder;
  for (const char* name : {"file", "folder"})
    CHECK_THROWS_AS(write_whole(folder.path_of(name),
                                [&](const std::string& beside) {
                                  write_whole_file(beside, "new");
                                  if (std::string(name) == "file")
                                    folder.write("file", "old");
                                  else
                                    fs::create_directory(folder.path_of("folder"));
                                }),
                    UserError);
  CHECK(folder.read("file") == "old");
  CHECK(fs::is_empty(folder.path_of("folder")));
  CHECK(count_in(folder) == 2);
}

TEST_CASE("a break leaves nothing") {
  const TempFolder folder;
  CHECK_THROWS_AS(write_whole(folder.path_of("new"),
                              [](const std::string& beside) {
                                write_new_folder(beside, {{"half", "1"}});
                                throw std::runtime_error("no power");
                              }),
                  std::runtime_error);
  CHECK(count_in(folder) == 0);
  CHECK_THROWS_AS(write_whole_file(folder.path_of("no/folder/here"), "1"), UserError);
}
