// The words the program speaks with, and what it says where a site asks for others.
#pragma once

#include "farm/site.h"
#include "report/words.h"

#include <string>

namespace coldbag {

/// The catalogue of English, the only one there is yet.
[[nodiscard]] Words program_words(const TableFiles& tables);

/// A line that a site asks for a language there are no words of; empty where it does not.
[[nodiscard]] std::string language_remark(const Site& site, const Words& words);

} // namespace coldbag
