// A run sheet as a PDF to be printed and written on.
#pragma once

#include "report/drawing.h"
#include "report/words.h"
#include "sizing/run_sheet.h"

#include <cstddef>
#include <string>

namespace coldbag {

struct PrintedPdf {
  std::string bytes;
  std::size_t pages = 0;
};

/// The same that sheet_text() says: the first page with head, events and first readings, the second its back,
/// the rest behind. Lines to write on are over 8 mm apart. The same sheet gives the same bytes.
[[nodiscard]] PrintedPdf sheet_pdf(const RunSheet& sheet, const Words& words, Paper paper);

} // namespace coldbag
