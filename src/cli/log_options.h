// The options that say how a log is written; a site file may hold most of them.
#pragma once

#include "cli/options.h"
#include "farm/site.h"
#include "logs/understanding.h"
#include "report/words.h"

namespace coldbag {

/// Described as the help of a command shows them: the settings a site file may hold, and all of them.
[[nodiscard]] boost::program_options::options_description log_setting_options(const Words& words);
[[nodiscard]] boost::program_options::options_description log_options(const Words& words);

/// Takes what was given into `log`. Throws UserError (usage) where a value is none.
void read_log_options(const Given& given, LogOptions& log);

/// What was given, and for options that were not the settings under [log] of the site file.
[[nodiscard]] Given with_log_settings(Given given, const Site& site);

} // namespace coldbag
