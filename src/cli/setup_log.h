// What a new site file takes from a log: its probe columns, and how its recorder writes.
#pragma once

#include "cli/desk.h"
#include "cli/options.h"
#include "farm/setup_text.h"
#include "report/words.h"

#include <string>

namespace coldbag {

/// Reads the log, asking a person what it does not say, and adds its probes and settings to the answers.
/// Throws UserError where it cannot be read and nobody can be asked.
void take_log(Desk& desk, const Words& words, Given given, const std::string& path, SetupAnswers& answers);

/// The settings that were given as options, without any log.
void take_log_settings(const Given& given, SetupAnswers& answers);

} // namespace coldbag
