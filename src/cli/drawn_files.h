// The files that a judged run is drawn into: chart, page, PDF.
#pragma once

#include "cli/options.h"
#include "report/block.h"
#include "report/words.h"
#include "tables/edition.h"

#include <string>

namespace coldbag {

/// --html, --pdf, --paper and --chart, for a command's options.
[[nodiscard]] boost::program_options::options_description drawing_options(const Words& words);

/// Complains of what can be seen before a long log is read: an ending that is none of a chart, a paper that
/// there is not. Throws UserError (usage).
void check_drawing_options(const Given& given);

/// Complains of any of them where there are several runs. Throws UserError (usage).
void refuse_drawing_many(const Given& given);

/// Writes every file that was asked for, each new. Throws UserError (cannot_write; usage where a log has
/// nothing to draw).
void write_drawn_files(const Given& given, const RunReport& report, const Words& words,
                       const TableFiles& tables);

/// The bytes of the PDF that write_drawn_files writes, of these blocks.
[[nodiscard]] std::string run_pdf(const Given& given, const Blocks& blocks, const RunReport& report,
                                  const Words& words);

} // namespace coldbag
