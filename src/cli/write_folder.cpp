#include "cli/write_folder.h"

#include "cli/write_file.h"
#include "errors/user_error.h"

#include <fcntl.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <utility>

namespace coldbag {

namespace {

namespace fs = std::filesystem;

[[noreturn]] void refuse(const std::string& path, std::string problem, std::string remedy) {
  Complaint complaint;
  complaint.trouble = Trouble::cannot_write;
  complaint.place.source_name = path;
  complaint.problem = std::move(problem);
  complaint.remedy = std::move(remedy);
  throw UserError(std::move(complaint));
}

/// A folder of its own beside `path`; gone at the end, with what is still in it.
class Beside {
 public:
  explicit Beside(const std::string& path) {
    fs::path of(path);
    if (!of.has_filename()) of = of.parent_path(); // "folder/"
    std::string name = (of.parent_path() / ("." + of.filename().string() + ".XXXXXX")).string();
    if (::mkdtemp(name.data()) == nullptr)
      refuse(path, "the folder it is to stand in is not there or cannot be written", "choose another");
    folder_ = name;
  }
  ~Beside() {
    std::error_code none;
    fs::remove_all(folder_, none);
  }
  Beside(const Beside&) = delete;
  Beside& operator=(const Beside&) = delete;
  Beside(Beside&&) = delete;
  Beside& operator=(Beside&&) = delete;
  [[nodiscard]] const fs::path& folder() const { return folder_; }

 private:
  fs::path folder_;
};

[[noreturn]] void refuse_there(const std::string& path) {
  refuse(path, "it is there already and is never overwritten", "choose another name or folder");
}

/// Never onto something that is there, even where it came meanwhile.
void put_in_place(const fs::path& from, const std::string& path) {
  if (::renameat2(AT_FDCWD, from.c_str(), AT_FDCWD, path.c_str(), RENAME_NOREPLACE) == 0) return;
  if (errno == EEXIST) refuse_there(path);
  if (errno != EINVAL && errno != ENOSYS) refuse(path, "it cannot be made", "choose another name or folder");
  refuse_what_is_there(path); // a file system that cannot promise it
  std::error_code fault;
  fs::rename(from, path, fault);
  if (fault) refuse(path, "it cannot be made", "choose another name or folder");
}

void keep_folder(const fs::path& folder) {
  const int open = ::open(folder.empty() ? "." : folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  if (open < 0) return;
  (void)::fsync(open);
  ::close(open);
}

} // namespace

void refuse_what_is_there(const std::string& path) {
  std::error_code none;
  if (fs::exists(fs::symlink_status(path, none))) refuse_there(path);
}

void write_whole(const std::string& path, const std::function<void(const std::string& beside)>& write) {
  refuse_what_is_there(path);
  const Beside beside(path);
  const fs::path whole = beside.folder() / "whole"; // with the rights that new ones get
  write(whole.string());
  put_in_place(whole, path);
  keep_folder(fs::path(path).parent_path());
}

void write_new_folder(const std::string& path, const std::vector<KeptFile>& files) {
  write_whole(path, [&](const std::string& whole) {
    std::error_code fault;
    fs::create_directory(whole, fault);
    for (const KeptFile& file : files) {
      const fs::path to = fs::path(whole) / file.name;
      fs::create_directories(to.parent_path(), fault);
      write_new_file(to.string(), file.bytes);
    }
  });
}

void write_whole_file(const std::string& path, std::string_view bytes) {
  write_whole(path, [&](const std::string& whole) { write_new_file(whole, bytes); });
}

} // namespace coldbag
