// In which language a person is told what to mend.
#pragma once

#include "report/error_words.h"

#include <string>
#include <vector>

namespace coldbag {

/// "es" or another: of --language, else of the site file that --site, a run file or an argument names, as far
/// as its line `language = "es"` can be found: errors in that file are told too. "en" where nothing says.
[[nodiscard]] std::string language_of_errors(const std::vector<std::string>& arguments);

/// The words of that language. Never throws: where they cannot be read, English.
[[nodiscard]] ErrorWords words_of_errors(const std::vector<std::string>& arguments);

} // namespace coldbag
