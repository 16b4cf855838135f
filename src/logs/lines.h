// A log's lines, one after the other, without their ends.
#pragma once

#include "logs/source.h"

#include <cstddef>
#include <cstdint>
#include <memory>
#include <string>
#include <string_view>

namespace coldbag {

inline constexpr std::size_t longest_line_bytes = std::size_t{1} << 20U;

/// One line; the text may be changed in place and lasts until the next one is read.
struct Line {
  char* text = nullptr;
  std::size_t size = 0;
  int number = 0;                     ///< from 1
  std::int64_t marked_characters = 0; ///< bytes that were no text

  [[nodiscard]] std::string_view view() const { return {text, size}; }
};

/// Reads lines ended by LF, CR LF or CR alone; the last one may have no end. A mark at the beginning is left
/// out, and so are NUL and SUB at the end of a line (padding), which are counted.
class Lines {
 public:
  explicit Lines(const Source& source) : Lines(source.name(), source.open()) {}
  Lines(const std::string& name, std::unique_ptr<ByteReader> bytes);
  ~Lines();
  Lines(const Lines&) = delete;
  Lines& operator=(const Lines&) = delete;
  Lines(Lines&&) = delete;
  Lines& operator=(Lines&&) = delete;

  /// False at the end. Throws UserError where a line is longer than longest_line_bytes.
  [[nodiscard]] bool next(Line& line);

 private:
  struct State;
  std::unique_ptr<State> state_;
};

} // namespace coldbag
