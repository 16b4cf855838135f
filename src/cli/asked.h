// A run as a command line asks for it: its files named, its options read, what its site file says of them.
#pragma once

#include "cli/options.h"
#include "report/words.h"
#include "run/run_input.h"

#include <string>

namespace coldbag {

struct Asked {
  RunRequest request;
  std::string log_settings; ///< those of [log] that counts, for --explain
};

/// A run file, a log, or "-" for a log from standard input, with what the options say of it; files that it
/// names are read. Throws UserError where one is not there or an option cannot be understood.
[[nodiscard]] Asked asked_for(const std::string& path, const Given& given, const RunOptions& options,
                              const Words& words);

} // namespace coldbag
