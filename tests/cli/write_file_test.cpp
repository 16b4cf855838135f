// Files of the user's: made anew, added to or replaced as a whole, and never lost.
#include "cli/files.h"
#include "cli/write_file.h"
#include "errors/user_error.h"

#include <doctest/doctest.h>

#include <unistd.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <functional>
#include <string>

using namespace coldbag;
namespace fs = std::filesystem;

namespace {

/// A folder of its own, gone at the end.
class Folder {
 public:
  Folder() {
    std::string name = (fs::temp_directory_path() / "coldbag-test-XXXXXX").string();
    path_ = mkdtemp(name.data());
  }
  ~Folder() {
    std::error_code none;
    fs::remove_all(path_, none);
  }
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;
  Folder(Folder&&) = delete;
  Folder& operator=(Folder&&) = delete;
  [[nodiscard]] std::string file(const std::string& name) const { return (path_ / name).string(); }
  [[nodiscard]] auto count() const {
    return std::distance(fs::directory_iterator(path_), fs::directory_iterator());
  }

 private:
  fs::path path_;
};

Trouble trouble_of(const std::function<void()>& write) {
  try {
    write();
  } catch (const UserError& error) {
    return error.trouble();
  }
  return Trouble::usage; // none of those that writing has
}

} // namespace

TEST_CASE("a new file is made once and never overwritten") {
  const Folder folder;
  const std::string path = folder.file("new.csv");
  write_new_file(path, "one\n");
  CHECK(trouble_of([&] { write_new_file(path, "two\n"); }) == Trouble::cannot_write);
  CHECK(read_text_file(path).bytes == "one\n");
  CHECK(trouble_of([&] { write_new_file(folder.file("no/where.csv"), "x"); }) == Trouble::cannot_write);
}

TEST_CASE("a file is replaced only while it holds what was read, and nothing is left beside it") {
  const Folder folder;
  const std::string path = folder.file("farm.toml");
  write_new_file(path, "old\n");
  replace_file(path, "old\n", "old\nmore\n");
  CHECK(read_text_file(path).bytes == "old\nmore\n");
  CHECK(trouble_of([&] { replace_file(path, "old\n", "other\n"); }) == Trouble::cannot_write);
  CHECK(read_text_file(path).bytes == "old\nmore\n");
  CHECK(trouble_of([&] { replace_file(folder.file("none.toml"), "", "x"); }) == Trouble::cannot_write);
  CHECK(folder.count() == 1);
}

TEST_CASE("a row is added only behind what is known to be there") {
  const Folder folder;
  const std::string path = folder.file("sheet.csv");
  write_new_file(path, "head\n");
  append_to_file(path, 5, "row 1\n");
  CHECK(read_text_file(path).bytes == "head\nrow 1\n");
  CHECK(trouble_of([&] { append_to_file(path, 5, "row 2\n"); }) == Trouble::cannot_write);
  CHECK(trouble_of([&] { append_to_file(folder.file("none"), 0, "row\n"); }) == Trouble::cannot_write);
  CHECK(read_text_file(path).bytes == "head\nrow 1\n");
}
