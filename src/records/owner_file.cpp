#include "records/owner_file.h"

#include "errors/user_error.h"

#include <fmt/format.h>

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <filesystem>
#include <utility>

namespace coldbag {

namespace {

constexpr mode_t owner_alone = 0600;
constexpr mode_t rights_of_others = 0077;

[[noreturn]] void refuse(Trouble trouble, const std::string& path, std::string problem, std::string remedy) {
  throw UserError({trouble, {path, 0, 0, ""}, std::move(problem), std::move(remedy)});
}

/// An open file; closed at the end, and taken away again where it was made and is not wanted.
class OpenFile {
 public:
  OpenFile(int number, std::string made_path) : number_(number), made_path_(std::move(made_path)) {}
  ~OpenFile() {
    if (number_ < 0) return;
    ::close(number_);
    if (!made_path_.empty()) (void)::unlink(made_path_.c_str());
  }
  OpenFile(const OpenFile&) = delete;
  OpenFile& operator=(const OpenFile&) = delete;
  OpenFile(OpenFile&&) = delete;
  OpenFile& operator=(OpenFile&&) = delete;
  [[nodiscard]] int number() const { return number_; }
  void keep() { made_path_.clear(); }

 private:
  int number_;
  std::string made_path_;
};

bool write_whole(int file, std::span<const std::uint8_t> bytes) {
  while (!bytes.empty()) {
    const ssize_t put = ::write(file, bytes.data(), bytes.size());
    if (put < 0 && errno == EINTR) continue;
    if (put <= 0) return false;
    bytes = bytes.subspan(static_cast<std::size_t>(put));
  }
  return ::fsync(file) == 0;
}

bool read_whole(int file, std::span<std::uint8_t> bytes) {
  while (!bytes.empty()) {
    const ssize_t got = ::read(file, bytes.data(), bytes.size());
    if (got < 0 && errno == EINTR) continue;
    if (got <= 0) return false;
    bytes = bytes.subspan(static_cast<std::size_t>(got));
  }
  return true;
}

void keep_folder(const std::filesystem::path& folder) {
  const OpenFile open(::open(folder.empty() ? "." : folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC), "");
  if (open.number() >= 0) (void)::fsync(open.number());
}

} // namespace

void write_owner_file(const std::string& path, const Secret& bytes) {
  OpenFile file(::open(path.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_NOFOLLOW | O_CLOEXEC, owner_alone),
                path);
  if (file.number() < 0)
    refuse(Trouble::cannot_write, path,
           errno == EEXIST ? "the file is there already and is never overwritten" : "the file cannot be made",
           "choose another name or folder");
  // A mask of the user's may have taken too much, and some disks give everybody the same rights.
  (void)::fchmod(file.number(), owner_alone);
  struct stat status {};
  if (::fstat(file.number(), &status) != 0 || (status.st_mode & rights_of_others) != 0)
    refuse(Trouble::cannot_write, path, "files in this folder can be read by others",
           "choose a folder on a disk that keeps the rights of files");
  if (!write_whole(file.number(), bytes.bytes()))
    refuse(Trouble::io, path, "the new file could not be written whole",
           "nothing was changed; check the disk");
  file.keep();
  keep_folder(std::filesystem::path(path).parent_path());
}

Secret read_owner_file(const std::string& path) {
  // Without O_NONBLOCK a pipe of this name would be waited for.
  const OpenFile file(::open(path.c_str(), O_RDONLY | O_NONBLOCK | O_CLOEXEC), "");
  if (file.number() < 0)
    refuse(Trouble::no_input, path, std::string("cannot be opened: ") + std::strerror(errno),
           "name a key file that is there and may be read");
  struct stat status {};
  if (::fstat(file.number(), &status) != 0 || !S_ISREG(status.st_mode))
    refuse(Trouble::no_input, path, "is no plain file", "name a key file that is there and may be read");
  if ((status.st_mode & rights_of_others) != 0)
    refuse(Trouble::bad_data, path,
           fmt::format("others than its owner can read or change this file (rights {:o})",
                       status.st_mode & 07777U),
           "take their rights away with chmod 600, and make a new key if somebody may have read this one");
  if (status.st_size > static_cast<off_t>(most_owner_file_bytes))
    refuse(Trouble::bad_data, path, "is too large for a key file",
           "name a key file that is there and may be read");
  Secret bytes(static_cast<std::size_t>(status.st_size));
  if (!read_whole(file.number(), bytes.bytes()))
    refuse(Trouble::io, path, "the file could not be read whole", "check the disk, and the file");
  return bytes;
}

} // namespace coldbag
