// The words that a command speaks with: those asked for, else those of the site file, else English.
#pragma once

#include "cli/options.h"
#include "report/words.h"

#include <string>
#include <vector>

namespace coldbag {

/// The built-in words of the --language that stands among the arguments, else English: before anything is
/// read, for help. Throws UserError (usage) for a language there are no words of.
[[nodiscard]] Words help_words(const std::vector<std::string>& arguments);

/// The words of --language; else of the language that the site file asks for, which --site or the run file at
/// `path` names; else English. A file that cannot be read asks for nothing here: whoever needs it complains.
/// Throws UserError (usage) for a language there are no words of.
[[nodiscard]] Words program_words(const TableFiles& tables, const Given& given, const std::string& path = "");

} // namespace coldbag
