// A PDF as others read it: its text, the boxes of its words, what it says of itself. By poppler's programs.
#pragma once

#include <unistd.h>

#include <array>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

namespace coldbag::test {

inline std::string printed_by(const std::string& command) {
  FILE* pipe = ::popen(command.c_str(), "r");
  if (pipe == nullptr) throw std::runtime_error("cannot run " + command);
  std::string out;
  std::array<char, 4096> part{};
  for (std::size_t got = 0; (got = std::fread(part.data(), 1, part.size(), pipe)) > 0;)
    out.append(part.data(), got);
  if (::pclose(pipe) != 0) throw std::runtime_error("it failed: " + command);
  return out;
}

/// A file of these bytes; gone at the end.
class PdfFile {
 public:
  explicit PdfFile(std::string_view bytes) {
    std::string name = (std::filesystem::temp_directory_path() / "pdf_XXXXXX").string();
    const int file = ::mkstemp(name.data());
    if (file < 0) throw std::runtime_error("no temporary file");
    ::close(file);
    path_ = name;
    std::ofstream(path_, std::ios::binary) << bytes;
  }
  ~PdfFile() { std::filesystem::remove(path_); }
  PdfFile(const PdfFile&) = delete;
  PdfFile& operator=(const PdfFile&) = delete;
  PdfFile(PdfFile&&) = delete;
  PdfFile& operator=(PdfFile&&) = delete;

  /// What a program of poppler prints of it; "{}" stands for the file.
  [[nodiscard]] std::string said_by(std::string command) const {
    command.replace(command.find("{}"), 2, path_);
    return printed_by(command + " 2>&1");
  }

 private:
  std::string path_;
};

/// The text of each page, in the order in which it was drawn.
inline std::vector<std::string> texts_of_pages(std::string_view bytes) {
  const std::string all = PdfFile(bytes).said_by("pdftotext -raw -enc UTF-8 {} -");
  std::vector<std::string> pages;
  for (std::size_t at = 0; at < all.size();) {
    const std::size_t end = std::min(all.find('\f', at), all.size());
    pages.push_back(all.substr(at, end - at));
    at = end + 1;
  }
  return pages;
}

/// Points from the upper left corner of its page.
struct WordBox {
  std::size_t page;
  double left, top, right, bottom;
  std::string text;
};

inline double number_behind(const std::string& line, const std::string& name) {
  const std::size_t at = line.find(name + "=\"");
  if (at == std::string::npos) throw std::runtime_error("no " + name + " in " + line);
  return std::strtod(line.c_str() + at + name.size() + 2, nullptr);
}

inline std::vector<WordBox> boxes_of_words(std::string_view bytes) {
  const std::string all = PdfFile(bytes).said_by("pdftotext -bbox -enc UTF-8 {} -");
  std::vector<WordBox> boxes;
  std::size_t page = 0;
  for (std::size_t at = 0; at < all.size();) {
    const std::size_t end = std::min(all.find('\n', at), all.size());
    const std::string line = all.substr(at, end - at);
    at = end + 1;
    if (line.find("<page ") != std::string::npos) ++page;
    const std::size_t open = line.find("<word ");
    if (open == std::string::npos) continue;
    const std::size_t from = line.find('>', open) + 1;
    boxes.push_back({page, number_behind(line, "xMin"), number_behind(line, "yMin"),
                     number_behind(line, "xMax"), number_behind(line, "yMax"),
                     line.substr(from, line.rfind("</word>") - from)});
  }
  return boxes;
}

/// Without any blank, for lines are broken where the page ends.
inline std::string without_blanks(const std::string& text) {
  std::string out;
  for (const char c : text)
    if (c != ' ' && c != '\n' && c != '\f' && c != '\r') out += c;
  return out;
}

} // namespace coldbag::test
