// What goes with an exported run for who checks it: how to do so by hand, a script, a part of the paper.
#pragma once

#include "records/export.h"
#include "report/block.h"
#include "report/words.h"
#include "tables/edition.h"

#include <string>

namespace coldbag {

/// README.txt: what each file is, the lines to be typed, what they cannot show. 80 columns.
[[nodiscard]] std::string export_readme(const Exported& from, const Words& words);

/// check.sh, of the mould export-check.sh.
[[nodiscard]] std::string export_script(const Words& words, const TableFiles& files);

/// Under its heading, for the run's paper: the hash of its entry, seal and key of the ledger, and what was
/// stated about the run later.
[[nodiscard]] Blocks in_ledger_blocks(const Exported& from, const Words& words);

} // namespace coldbag
