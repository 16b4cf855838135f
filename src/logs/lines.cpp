#include "logs/lines.h"

#include "errors/user_error.h"
#include "logs/encoding.h"

#ifndef __clang__
#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wstringop-truncation"
#pragma GCC diagnostic ignored "-Wstringop-overflow"
#pragma GCC diagnostic ignored "-Warray-bounds"
#endif
#include <libfccp/csv.h>
#ifndef __clang__
#pragma GCC diagnostic pop
#endif

#include <algorithm>
#include <cstring>
#include <utility>

namespace coldbag {

namespace {

/// What the line reader needs of its bytes: buffers filled whole, no NUL, a newline last of all, and no line
/// longer than the limit (a longer one would run past the line reader's own buffer).
class SteadyBytes : public io::ByteSourceBase {
 public:
  SteadyBytes(std::string name, std::unique_ptr<ByteReader> below)
      : name_(std::move(name)), below_(std::move(below)) {}

  int read(char* buffer, int size) override {
    const auto wanted = static_cast<std::size_t>(size);
    std::size_t filled = 0;
    while (filled < wanted && !ended_) {
      const std::size_t got = fill(buffer + filled, wanted - filled);
      filled += got;
    }
    return static_cast<int>(filled);
  }

 private:
  std::size_t fill(char* buffer, std::size_t size) {
    // In steps that stay in the processor's cache between hashing and checking.
    std::size_t got = below_->read(buffer, std::min<std::size_t>(size, std::size_t{1} << 18U));
    if (got == 0) return end(buffer);
    const bool only_nul = mark_nul_bytes(buffer, got) == static_cast<std::int64_t>(got);
    // A file may be filled up with more of them than a line may be long.
    if (only_nul && got >= longest_line_bytes / 16 && got < size) buffer[got++] = '\n';
    got = end_lines_with_newlines(buffer, got);
    if (got == 0) return 0;
    check_line_lengths(buffer, got);
    last_ = buffer[got - 1];
    return got;
  }

  /// Turns each carriage return that no newline follows into a newline; returns the bytes to hand on. One at
  /// the end of the bytes is turned too, and a newline that follows it is left out.
  std::size_t end_lines_with_newlines(char* bytes, std::size_t size) {
    if (std::exchange(skips_newline_, false) && *bytes == '\n') std::memmove(bytes, bytes + 1, --size);
    char* const stop = bytes + size;
    for (char* at = bytes; at < stop; ++at) {
      at = static_cast<char*>(std::memchr(at, '\r', static_cast<std::size_t>(stop - at)));
      if (at == nullptr) break;
      skips_newline_ = at + 1 == stop;
      if (skips_newline_ || at[1] != '\n') *at = '\n';
    }
    return size;
  }

  std::size_t end(char* buffer) {
    ended_ = true;
    if (last_ == '\n') return 0;
    *buffer = '\n';
    return 1;
  }

  void check_line_lengths(const char* bytes, std::size_t size) {
    const char* at = bytes;
    const char* const stop = bytes + size;
    while (at < stop) {
      const auto* newline =
          static_cast<const char*>(std::memchr(at, '\n', static_cast<std::size_t>(stop - at)));
      const char* const line_end = newline == nullptr ? stop : newline;
      line_bytes_ += static_cast<std::size_t>(line_end - at);
      if (line_bytes_ > longest_line_bytes) refuse_line();
      if (newline == nullptr) return;
      line_bytes_ = 0;
      ++line_;
      at = newline + 1;
    }
  }

  [[noreturn]] void refuse_line() const {
    throw UserError({Trouble::bad_data, Place{name_, line_, 0, ""}, "this line is longer than 1 MiB",
                     "a log has a row a line; export it again as CSV text"});
  }

  std::string name_;
  std::unique_ptr<ByteReader> below_;
  std::size_t line_bytes_ = 0;
  int line_ = 1;
  char last_ = '\n'; // an empty file stays empty
  bool skips_newline_ = false;
  bool ended_ = false;
};

std::int64_t count_marked(std::string_view line) {
  std::int64_t count = 0;
  for (std::size_t at = line.find(marked_character); at != std::string_view::npos;
       at = line.find(marked_character, at + 1))
    ++count;
  return count;
}

/// NUL and SUB at the end of a line are no text of it: the end of a file may be filled up with them.
std::int64_t leave_out_padding(Line& line) {
  const std::size_t before = line.size;
  while (line.size > 0 && line.text[line.size - 1] == marked_character)
    line.text[--line.size] = '\0';
  return static_cast<std::int64_t>(before - line.size);
}

} // namespace

struct Lines::State {
  io::LineReader reader;
};

Lines::Lines(const std::string& name, std::unique_ptr<ByteReader> bytes)
    : state_(new State{io::LineReader(name, std::make_unique<SteadyBytes>(name, std::move(bytes)))}) {}

Lines::~Lines() = default;

bool Lines::next(Line& line) {
  line.text = state_->reader.next_line();
  if (line.text == nullptr) return false;
  line.size = std::strlen(line.text);
  line.number = static_cast<int>(state_->reader.get_file_line());
  const std::int64_t padding = leave_out_padding(line);
  mark_invalid_utf8(line.text, line.size);
  line.marked_characters = padding + count_marked(line.view());
  return true;
}

} // namespace coldbag
