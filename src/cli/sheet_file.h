// The file of a sheet that is being typed.
#pragma once

#include "logs/paper_sheet.h"

#include <string>
#include <vector>

namespace coldbag {

/// The rows typed now, and the file that holds every one of them as soon as it is accepted.
class SheetFile {
 public:
  /// `begun_bytes` is what the file holds already; empty where it is to be made with the first row.
  SheetFile(std::string path, PaperSheet sheet, std::string begun_bytes)
      : path_(std::move(path)), sheet_(std::move(sheet)), bytes_(std::move(begun_bytes)) {}

  [[nodiscard]] const std::vector<SheetRow>& rows() const { return rows_; }
  [[nodiscard]] const PaperSheet& sheet() const { return sheet_; }
  void add(const SheetRow& row);
  /// In one step: a fall of the power leaves the old row or the new one.
  void mend(std::size_t at, const SheetRow& row);

 private:
  std::string path_;
  PaperSheet sheet_;
  std::string bytes_;
  std::vector<SheetRow> rows_;
  std::vector<std::size_t> starts_; ///< where each row begins in the bytes
};

} // namespace coldbag
