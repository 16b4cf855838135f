#include "cli/write_file.h"

#include "cli/files.h"
#include "errors/user_error.h"

#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <filesystem>

namespace coldbag {

namespace {

namespace fs = std::filesystem;

[[noreturn]] void refuse(Trouble trouble, const std::string& path, std::string problem, std::string remedy) {
  throw UserError({trouble, {path, 0, 0, ""}, std::move(problem), std::move(remedy)});
}

/// An open file; closed at the end, whatever happens.
class OpenFile {
 public:
  explicit OpenFile(int number) : number_(number) {}
  ~OpenFile() {
    if (number_ >= 0) ::close(number_);
  }
  OpenFile(const OpenFile&) = delete;
  OpenFile& operator=(const OpenFile&) = delete;
  OpenFile(OpenFile&&) = delete;
  OpenFile& operator=(OpenFile&&) = delete;
  [[nodiscard]] int number() const { return number_; }

 private:
  int number_;
};

bool write_whole(int file, std::string_view bytes) {
  while (!bytes.empty()) {
    const ssize_t put = ::write(file, bytes.data(), bytes.size());
    if (put < 0 && errno == EINTR) continue;
    if (put <= 0) return false;
    bytes.remove_prefix(static_cast<std::size_t>(put));
  }
  return ::fsync(file) == 0;
}

void keep_folder(const fs::path& folder) {
  const OpenFile open(::open(folder.empty() ? "." : folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC));
  if (open.number() >= 0) (void)::fsync(open.number());
}

/// Takes the file at `path` away again unless told that it is wanted.
class Temporary {
 public:
  explicit Temporary(std::string path) : path_(std::move(path)) {}
  ~Temporary() {
    if (!path_.empty()) (void)::unlink(path_.c_str());
  }
  Temporary(const Temporary&) = delete;
  Temporary& operator=(const Temporary&) = delete;
  Temporary(Temporary&&) = delete;
  Temporary& operator=(Temporary&&) = delete;
  void keep() { path_.clear(); }

 private:
  std::string path_;
};

} // namespace

void write_new_file(const std::string& path, std::string_view bytes) {
  const OpenFile file(::open(path.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0644));
  if (file.number() < 0)
    refuse(Trouble::cannot_write, path,
           errno == EEXIST ? "the file is there already and is never overwritten" : "the file cannot be made",
           "choose another name or folder");
  if (!write_whole(file.number(), bytes))
    refuse(Trouble::io, path, "the file could not be written whole", "check the disk and remove the file");
  keep_folder(fs::path(path).parent_path());
}

void replace_file(const std::string& path, std::string_view old_bytes, std::string_view bytes) {
  std::error_code fault;
  const fs::path real = fs::canonical(path, fault);
  const OpenFile old(fault ? -1 : ::open(real.c_str(), O_RDONLY | O_CLOEXEC));
  struct stat status {};
  if (old.number() < 0 || ::fstat(old.number(), &status) != 0)
    refuse(Trouble::cannot_write, path, "the file is gone or cannot be read",
           "nothing was written; see to it");
  // Two of us at once: the second waits here and then sees a file that has changed.
  (void)::flock(old.number(), LOCK_EX);
  std::string beside = (real.parent_path() / ("." + real.filename().string() + ".XXXXXX")).string();
  const OpenFile file(::mkostemp(beside.data(), O_CLOEXEC));
  if (file.number() < 0)
    refuse(Trouble::cannot_write, path, std::string("its folder cannot be written: ") + std::strerror(errno),
           "nothing was changed; make the folder writable or copy the file to another");
  Temporary temporary(beside);
  (void)::fchmod(file.number(), status.st_mode & 07777U);
  if (::fchown(file.number(), status.st_uid, status.st_gid) != 0) errno = 0; // the owner stays where it may
  if (!write_whole(file.number(), bytes))
    refuse(Trouble::io, path, "the new file could not be written whole",
           "nothing was changed; check the disk");
  if (::access(real.c_str(), W_OK) != 0)
    refuse(Trouble::cannot_write, path, "the file may not be written",
           "nothing was changed; see to its rights");
  if (read_text_file(real.string()).bytes != old_bytes)
    refuse(Trouble::cannot_write, path, "the file was changed by someone else meanwhile",
           "nothing was written; do it again");
  if (std::rename(beside.c_str(), real.c_str()) != 0)
    refuse(Trouble::cannot_write, path, std::string("cannot be replaced: ") + std::strerror(errno),
           "nothing was changed");
  temporary.keep();
  keep_folder(real.parent_path());
  if (read_text_file(real.string()).bytes != bytes)
    refuse(Trouble::io, path, "does not read back as it was written", "check the disk, and the file");
}

void append_to_file(const std::string& path, std::size_t size, std::string_view bytes) {
  const OpenFile file(::open(path.c_str(), O_WRONLY | O_APPEND | O_CLOEXEC));
  struct stat status {};
  if (file.number() < 0 || ::fstat(file.number(), &status) != 0)
    refuse(Trouble::cannot_write, path, "the file is gone or may not be written", "see to it, then --resume");
  if (static_cast<std::size_t>(status.st_size) != size)
    refuse(Trouble::cannot_write, path, "the file was changed by someone else meanwhile",
           "see what it holds, then --resume");
  if (!write_whole(file.number(), bytes))
    refuse(Trouble::io, path, "the row could not be written whole",
           "check the disk, and the file's last line");
}

} // namespace coldbag
