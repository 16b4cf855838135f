// The words that a command speaks with: those asked for, else those of the site file, else English.
#pragma once

#include "cli/options.h"
#include "report/words.h"

#include <string>

namespace coldbag {

/// Adds --language to the options of a command.
void add_language_option(boost::program_options::options_description& described);

/// The words of --language; else of the language that the site file asks for, which --site or the run file at
/// `path` names; else English. A file that cannot be read asks for nothing here: whoever needs it complains.
/// Throws UserError (usage) for a language there are no words of.
[[nodiscard]] Words program_words(const TableFiles& tables, const Given& given, const std::string& path = "");

} // namespace coldbag
