// A run sheet as text for a printer: pages to be written on with a pencil.
#pragma once

#include "report/words.h"
#include "sizing/run_sheet.h"

#include <string>

namespace coldbag {

/// Lines of a page: what Letter takes at six lines to the inch, half an inch left above and below; A4 takes
/// more.
inline constexpr std::size_t lines_of_sheet_page = 60;

/// The pages one after another, a form feed before each but the first. The first has the head, the events and
/// the first readings; the second is its back, with what to do and the signatures; readings that are left go
/// on behind it. No page is longer than lines_of_sheet_page unless a plan or a site file says much more than
/// a blank sheet of eight probes does; no line is over 80 columns.
[[nodiscard]] std::string sheet_text(const RunSheet& sheet, const Words& words);

/// Pages of such a text.
[[nodiscard]] std::size_t pages_of_sheet(const std::string& text);

} // namespace coldbag
