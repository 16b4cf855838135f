// The paper that a PDF is made for.
#pragma once

#include "cli/options.h"
#include "quantity/print.h"
#include "report/drawing.h"

#include <string>
#include <vector>

namespace coldbag {

/// --paper; without it letter where feet and Fahrenheit are read, for that is what lies in the printer there,
/// else A4. Throws UserError (usage) for a paper there is not.
[[nodiscard]] Paper paper_option(const Given& given, UnitSystem units);

/// Complains of a --paper that is none, or where none of `files` is asked for. Throws UserError (usage).
void check_paper_option(const Given& given, const std::vector<std::string>& files);

} // namespace coldbag
