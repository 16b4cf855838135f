#include "cli/sheet_file.h"

#include "cli/write_file.h"

#include <chrono>

namespace coldbag {

void SheetFile::add(const SheetRow& row) {
  const std::string line = sheet_line(sheet_, row);
  if (bytes_.empty()) {
    bytes_ =
        sheet_head(sheet_, std::chrono::floor<std::chrono::microseconds>(std::chrono::system_clock::now()));
    bytes_ += line;
    starts_.push_back(bytes_.size() - line.size());
    write_new_file(path_, bytes_);
  } else {
    append_to_file(path_, bytes_.size(), line);
    starts_.push_back(bytes_.size());
    bytes_ += line;
  }
  rows_.push_back(row);
}

void SheetFile::mend(std::size_t at, const SheetRow& row) {
  const std::string line = sheet_line(sheet_, row);
  const std::size_t end = at + 1 < starts_.size() ? starts_[at + 1] : bytes_.size();
  std::string mended = bytes_;
  mended.replace(starts_[at], end - starts_[at], line);
  replace_file(path_, bytes_, mended);
  for (std::size_t i = at + 1; i < starts_.size(); ++i)
    starts_[i] = starts_[i] - (end - starts_[at]) + line.size();
  bytes_ = std::move(mended);
  rows_[at] = row;
}

} // namespace coldbag
