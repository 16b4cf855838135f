// The questions of a check, where a person makes it at a terminal.
#pragma once

#include "cli/desk.h"
#include "cli/options.h"
#include "cli/probe_bench.h"
#include "report/words.h"

#include <string>

namespace coldbag {

/// Asks what was not given, and again where an answer is none. True where a reading was given.
bool ask_readings(Desk& desk, Given& given, const Bench& bench, const Words& words);

/// Whether the check is to be added to the file.
bool is_confirmed(Desk& desk, const std::string& path, const Words& words);

} // namespace coldbag
