#include "records/owner_file.h"

#include "errors/user_error.h"
#include "records/refused.h"
#include "support/temp_folder.h"

#include <doctest/doctest.h>

#include <csignal>
#include <filesystem>
#include <string>
#include <sys/resource.h>
#include <sys/stat.h>
#include <unistd.h>

using namespace coldbag;
using test::refused;
using test::says;

namespace {

Secret secret_of(std::string text) {
  return Secret::taken_from(text);
}

mode_t rights_of(const std::string& path) {
  struct stat status {};
  REQUIRE(::stat(path.c_str(), &status) == 0);
  return status.st_mode & 07777U;
}

/// What new files lose of their rights, for the time of a test.
class Mask {
 public:
  explicit Mask(mode_t mask) : before_(::umask(mask)) {}
  ~Mask() { ::umask(before_); }
  Mask(const Mask&) = delete;
  Mask& operator=(const Mask&) = delete;
  Mask(Mask&&) = delete;
  Mask& operator=(Mask&&) = delete;

 private:
  mode_t before_;
};

/// Files can be no larger, for the time of a test.
class SmallDisk {
 public:
  explicit SmallDisk(rlim_t most_bytes) : handler_(std::signal(SIGXFSZ, SIG_IGN)) {
    ::getrlimit(RLIMIT_FSIZE, &before_);
    rlimit small = before_;
    small.rlim_cur = most_bytes;
    ::setrlimit(RLIMIT_FSIZE, &small);
  }
  ~SmallDisk() {
    ::setrlimit(RLIMIT_FSIZE, &before_);
    std::signal(SIGXFSZ, handler_);
  }
  SmallDisk(const SmallDisk&) = delete;
  SmallDisk& operator=(const SmallDisk&) = delete;
  SmallDisk(SmallDisk&&) = delete;
  SmallDisk& operator=(SmallDisk&&) = delete;

 private:
  void (*handler_)(int);
  rlimit before_{};
};

} // namespace

TEST_CASE("a new file is its owner's alone whatever the mask, and reads back") {
  for (const mode_t mask : {0000U, 0022U, 0077U, 0277U, 0777U}) {
    CAPTURE(mask);
    const test::TempFolder folder;
    const Mask masked(mask);
    const std::string path = folder.path_of("key");
    write_owner_file(path, secret_of("a secret"));
    CHECK(rights_of(path) == 0600);
    CHECK(folder.read("key") == "a secret");
    CHECK(read_owner_file(path).text() == "a secret");
  }
}

TEST_CASE("a file that is there is never written over, nor one behind a link") {
  const test::TempFolder folder;
  const std::string path = folder.write("key", "old");
  CHECK(says(refused([&] { return write_owner_file(path, secret_of("new")), 0; }), "is there already"));
  CHECK(folder.read("key") == "old");

  std::filesystem::create_symlink(folder.path_of("elsewhere"), folder.path_of("link"));
  CHECK(says(refused([&] { return write_owner_file(folder.path_of("link"), secret_of("new")), 0; }),
             "is there already"));
  CHECK_FALSE(std::filesystem::exists(folder.path_of("elsewhere")));
  CHECK(says(refused([&] { return write_owner_file(folder.path_of("none/key"), secret_of("new")), 0; }),
             "the file cannot be made"));
}

TEST_CASE("a file that cannot be written whole leaves nothing behind") {
  const test::TempFolder folder;
  const std::string path = folder.path_of("key");
  const SmallDisk small(4);
  CHECK(says(refused([&] { return write_owner_file(path, secret_of("longer than that")), 0; }),
             "could not be written whole"));
  CHECK_FALSE(std::filesystem::exists(path));
}

TEST_CASE("a file that others can read or change is refused") {
  const test::TempFolder folder;
  const std::string path = folder.write("key", "a secret");
  for (const mode_t rights : {0640U, 0604U, 0644U, 0620U, 0602U, 0610U, 0601U, 0777U}) {
    CAPTURE(rights);
    REQUIRE(::chmod(path.c_str(), rights) == 0);
    CHECK(says(refused([&] { return read_owner_file(path); }),
               "others than its owner can read or change this file"));
  }
  REQUIRE(::chmod(path.c_str(), 0644) == 0);
  CHECK(says(refused([&] { return read_owner_file(path); }), "(rights 644)"));
  for (const mode_t rights : {0600U, 0400U}) {
    REQUIRE(::chmod(path.c_str(), rights) == 0);
    CHECK(read_owner_file(path).text() == "a secret");
  }
}

TEST_CASE("what is no file of a fit size is refused, and no pipe is waited for") {
  const test::TempFolder folder;
  CHECK(says(refused([&] { return read_owner_file(folder.path_of("none")); }), "No such file"));
  CHECK(says(refused([&] { return read_owner_file(folder.path_of("")); }), "is no plain file"));
  REQUIRE(::mkfifo(folder.path_of("pipe").c_str(), 0600) == 0);
  CHECK(says(refused([&] { return read_owner_file(folder.path_of("pipe")); }), "is no plain file"));

  const std::string path = folder.path_of("large");
  write_owner_file(path, Secret(most_owner_file_bytes));
  CHECK(read_owner_file(path).text().size() == most_owner_file_bytes);
  std::filesystem::resize_file(path, most_owner_file_bytes + 1);
  CHECK(says(refused([&] { return read_owner_file(path); }), "is too large for a key file"));
  std::filesystem::resize_file(path, 0);
  CHECK(read_owner_file(path).text().empty());
}
