// The questions of a sheet, row after row.
#pragma once

#include "cli/desk.h"
#include "cli/sheet_file.h"
#include "report/words.h"

#include <string>

namespace coldbag {

/// Asks for times and readings into `file` until the end of the input or "end". `begun` is what the sheet
/// held before, `first` the time shown for its first row, `first_note` a remark on the first row typed now.
void type_rows(Desk& desk, const Words& words, SheetFile& file, const SheetRange& range, WallTime first,
               const BegunSheet& begun, const std::string& first_note);

} // namespace coldbag
