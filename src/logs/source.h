// Named bytes: a file, standard input or memory, read from the beginning as often as needed.
#pragma once

#include <cstddef>
#include <functional>
#include <memory>
#include <string>
#include <string_view>

namespace coldbag {

/// Hands on bytes in order.
class ByteReader {
 public:
  virtual ~ByteReader() = default;
  ByteReader() = default;
  ByteReader(const ByteReader&) = delete;
  ByteReader& operator=(const ByteReader&) = delete;
  ByteReader(ByteReader&&) = delete;
  ByteReader& operator=(ByteReader&&) = delete;
  /// Fills `buffer` as far as bytes last and returns how many were written; a short count means the end.
  /// Throws UserError (io) where reading fails.
  virtual std::size_t read(char* buffer, std::size_t size) = 0;
};

/// A log's bytes under a name. Copies share the bytes.
class Source {
 public:
  /// Throws UserError (no_input) where the file is not there or is a folder.
  [[nodiscard]] static Source file(const std::string& path);
  /// Reads standard input to its end into an unnamed temporary file; its name is "standard input".
  [[nodiscard]] static Source standard_input();
  [[nodiscard]] static Source memory(std::string name, std::string bytes);
  /// Bytes that `open` hands out from the beginning, the same ones every time it is called.
  [[nodiscard]] static Source readers(std::string name, std::function<std::unique_ptr<ByteReader>()> open);

  [[nodiscard]] const std::string& name() const;
  [[nodiscard]] std::unique_ptr<ByteReader> open() const;
  /// SHA-256 of all bytes, lower-case hexadecimal; taken on the way of the first whole read, else by reading.
  [[nodiscard]] std::string sha256() const;

 private:
  struct Bytes;
  explicit Source(std::shared_ptr<Bytes> bytes);
  std::shared_ptr<Bytes> bytes_;
};

} // namespace coldbag
