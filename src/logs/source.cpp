#include "logs/source.h"

#include "errors/our_fault.h"
#include "errors/user_error.h"
#include "tables/sha256.h"

#include <algorithm>
#include <cerrno>
#include <cstdio>
#include <cstring>
#include <fcntl.h>
#include <mutex>
#include <optional>
#include <sys/stat.h>
#include <unistd.h>
#include <utility>
#include <vector>

namespace coldbag {

struct Source::Bytes {
  std::string name;
  std::function<std::unique_ptr<ByteReader>()> open;
  std::mutex mutex;
  std::optional<std::string> sha256;
};

namespace {

[[noreturn]] void refuse(Trouble trouble, const std::string& name, std::string problem, std::string remedy) {
  throw UserError({trouble, Place{name, 0, 0, ""}, std::move(problem), std::move(remedy)});
}

/// An open file descriptor, closed at the end.
class Descriptor {
 public:
  explicit Descriptor(int number) : number_(number) {}
  ~Descriptor() {
    if (number_ >= 0) ::close(number_);
  }
  Descriptor(const Descriptor&) = delete;
  Descriptor& operator=(const Descriptor&) = delete;
  Descriptor(Descriptor&&) = delete;
  Descriptor& operator=(Descriptor&&) = delete;
  [[nodiscard]] int number() const { return number_; }

 private:
  int number_;
};

/// Reads by place, so that several readers can share one descriptor.
class FileReader : public ByteReader {
 public:
  FileReader(std::string name, std::shared_ptr<Descriptor> file)
      : name_(std::move(name)), file_(std::move(file)) {}

  std::size_t read(char* buffer, std::size_t size) override {
    std::size_t filled = 0;
    while (filled < size) {
      const ssize_t got = ::pread(file_->number(), buffer + filled, size - filled, at_);
      if (got < 0 && errno == EINTR) continue;
      if (got < 0)
        refuse(Trouble::io, name_, std::string("cannot be read on: ") + std::strerror(errno),
               "copy the log to another disk and read it there");
      if (got == 0) break;
      filled += static_cast<std::size_t>(got);
      at_ += got;
    }
    return filled;
  }

 private:
  std::string name_;
  std::shared_ptr<Descriptor> file_;
  off_t at_ = 0;
};

class MemoryReader : public ByteReader {
 public:
  explicit MemoryReader(std::shared_ptr<const std::string> bytes) : bytes_(std::move(bytes)) {}

  std::size_t read(char* buffer, std::size_t size) override {
    const std::size_t count = std::min(size, bytes_->size() - at_);
    std::memcpy(buffer, bytes_->data() + at_, count);
    at_ += count;
    return count;
  }

 private:
  std::shared_ptr<const std::string> bytes_;
  std::size_t at_ = 0;
};

/// Hands on the bytes of another reader and, once it is at the end, tells their SHA-256.
class HashingReader : public ByteReader {
 public:
  HashingReader(std::unique_ptr<ByteReader> below, std::function<void(std::string)> tell)
      : below_(std::move(below)), tell_(std::move(tell)) {}

  std::size_t read(char* buffer, std::size_t size) override {
    const std::size_t count = below_->read(buffer, size);
    if (told_) return count;
    hash_.take({buffer, count});
    if (count == 0 && size > 0) finish();
    return count;
  }

 private:
  void finish() {
    told_ = true;
    tell_(hex_text(hash_.finish()));
  }

  std::unique_ptr<ByteReader> below_;
  std::function<void(std::string)> tell_;
  Sha256Stream hash_;
  bool told_ = false;
};

void write_all(int file, const char* bytes, std::size_t size, const std::string& name) {
  while (size > 0) {
    const ssize_t put = ::write(file, bytes, size);
    if (put < 0 && errno == EINTR) continue;
    if (put < 0)
      refuse(Trouble::io, name, std::string("cannot be kept in a temporary file: ") + std::strerror(errno),
             "free some space, or save the log to a file and name it");
    bytes += put;
    size -= static_cast<std::size_t>(put);
  }
}

void copy_all(int from, int to, const std::string& name) {
  std::vector<char> buffer(1 << 16);
  for (;;) {
    const ssize_t got = ::read(from, buffer.data(), buffer.size());
    if (got < 0 && errno == EINTR) continue;
    if (got < 0)
      refuse(Trouble::io, name, std::string("cannot be read: ") + std::strerror(errno),
             "save the log to a file and name it");
    if (got == 0) return;
    write_all(to, buffer.data(), static_cast<std::size_t>(got), name);
  }
}

} // namespace

Source::Source(std::shared_ptr<Bytes> bytes) : bytes_(std::move(bytes)) {}

Source Source::readers(std::string name, std::function<std::unique_ptr<ByteReader>()> open) {
  auto bytes = std::make_shared<Bytes>();
  bytes->name = std::move(name);
  bytes->open = std::move(open);
  return Source(std::move(bytes));
}

Source Source::file(const std::string& path) {
  auto file = std::make_shared<Descriptor>(::open(path.c_str(), O_RDONLY | O_CLOEXEC));
  if (file->number() < 0)
    refuse(Trouble::no_input, path, std::string("cannot be opened: ") + std::strerror(errno),
           "name a log file that is there and may be read");
  struct stat status {};
  if (::fstat(file->number(), &status) != 0 || S_ISDIR(status.st_mode))
    refuse(Trouble::no_input, path, "is a folder", "name one log file in it");
  return readers(path, [path, file] { return std::make_unique<FileReader>(path, file); });
}

Source Source::standard_input() {
  const std::string name = "standard input";
  std::FILE* spool = std::tmpfile(); // has no name and goes when it is closed
  if (spool == nullptr)
    refuse(Trouble::io, name, "cannot be kept in a temporary file",
           "free some space, or save the log to a file and name it");
  auto file = std::make_shared<Descriptor>(::fcntl(::fileno(spool), F_DUPFD_CLOEXEC, 0));
  std::fclose(spool);
  copy_all(STDIN_FILENO, file->number(), name);
  return readers(name, [name, file] { return std::make_unique<FileReader>(name, file); });
}

Source Source::memory(std::string name, std::string bytes) {
  auto shared = std::make_shared<const std::string>(std::move(bytes));
  return readers(std::move(name), [shared] { return std::make_unique<MemoryReader>(shared); });
}

const std::string& Source::name() const {
  return bytes_->name;
}

std::unique_ptr<ByteReader> Source::open() const {
  const std::lock_guard lock(bytes_->mutex);
  if (bytes_->sha256) return bytes_->open();
  return std::make_unique<HashingReader>(bytes_->open(), [bytes = bytes_](std::string digest) {
    const std::lock_guard telling(bytes->mutex);
    bytes->sha256 = std::move(digest);
  });
}

std::string Source::sha256() const {
  const auto known = [this] {
    const std::lock_guard lock(bytes_->mutex);
    return bytes_->sha256;
  };
  if (const auto digest = known()) return *digest;
  const auto reader = open();
  std::vector<char> buffer(1 << 16);
  while (reader->read(buffer.data(), buffer.size()) > 0) {
  }
  const auto digest = known();
  our_check(digest.has_value(), "a source read to its end has a digest");
  return *digest;
}

} // namespace coldbag
